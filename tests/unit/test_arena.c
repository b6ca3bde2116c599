/* test_arena.c - arenas and the context that owns them */

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/context.h"
#include "suites.h"

/* An allocator that counts, and fails from the n-th call for memory on. */
typedef struct meter {
  long calls, fail_at; /* fail_at 0: never */
  size_t held;
  size_t largest;
} meter;

static void *metered(void *user, void *pointer, size_t old_size, size_t new_size) {
  meter *m = user;
  if (new_size == 0) {
    m->held -= old_size;
    free(pointer);
    return NULL;
  }
  if (m->fail_at != 0 && ++m->calls >= m->fail_at)
    return NULL;
  void *fresh = realloc(pointer, new_size);
  if (fresh != NULL) {
    m->held += new_size - old_size;
    if (new_size > m->largest)
      m->largest = new_size;
  }
  return fresh;
}

START_TEST(items_are_aligned_zeroed_and_apart) {
  static const size_t block_sizes[] = {0, 1, 7, 64, 4096};
  for (size_t b = 0; b < sizeof block_sizes / sizeof block_sizes[0]; b++) {
    meter m = {0};
    eb_allocator allocator = {metered, &m, block_sizes[b]};
    ebi_arena *arena = ebi_arena_new(&allocator);
    unsigned char *items[97];
    for (size_t i = 0; i < 97; i++) {
      size_t size = i * 37 % 301;
      items[i] = ebi_arena_array(arena, size, 1);
      ck_assert_ptr_nonnull(items[i]);
      ck_assert_uint_eq((uintptr_t)items[i] % _Alignof(max_align_t), 0);
      for (size_t j = 0; j < size; j++)
        ck_assert_uint_eq(items[i][j], 0);
      memset(items[i], (int)(i + 1), size);
    }
    for (size_t i = 0; i < 97; i++)
      for (size_t j = 0; j < i * 37 % 301; j++)
        ck_assert_uint_eq(items[i][j], i + 1);
    ebi_arena_free(arena);
    ck_assert_uint_eq(m.held, 0);
  }
}
END_TEST

START_TEST(block_size_one_gives_each_item_its_own_block) {
  meter m = {0};
  m.fail_at = 1000000; /* counts */
  eb_allocator allocator = {metered, &m, 1};
  ebi_arena *arena = ebi_arena_new(&allocator);
  for (int i = 0; i < 23; i++)
    ck_assert_ptr_nonnull(ebi_arena_array(arena, 3, 5));
  ck_assert_int_eq(m.calls, 24);
  ebi_arena_free(arena);
}
END_TEST

START_TEST(overflow_is_no_memory) {
  ebi_arena *arena = ebi_arena_new(NULL);
  ck_assert_ptr_null(ebi_arena_array(arena, SIZE_MAX / 3, 5));
  ck_assert_ptr_null(ebi_arena_array(arena, SIZE_MAX, 1));
  ck_assert_ptr_null(ebi_arena_array(arena, 2, SIZE_MAX));
  ck_assert_ptr_nonnull(ebi_arena_array(arena, SIZE_MAX, 0));
  ck_assert_ptr_nonnull(ebi_arena_array(arena, 0, SIZE_MAX));
  ebi_arena_free(arena);
}
END_TEST

START_TEST(growing_keeps_what_was_there) {
  meter m = {0};
  eb_allocator allocator = {metered, &m, 0};
  ebi_arena *arena = ebi_arena_new(&allocator);
  double *numbers = NULL;
  size_t capacity = 0;
  for (size_t i = 0; i < 1013; i++) {
    ck_assert(ebi_arena_grow(arena, &numbers, &capacity, i, sizeof *numbers));
    numbers[i] = (double)i * 1.37;
  }
  m.fail_at = 1;
  const double *before = numbers;
  size_t capacity_before = capacity;
  while (ebi_arena_array(arena, 1000, 1000) != NULL)
    ;
  ck_assert(!ebi_arena_grow(arena, &numbers, &capacity, capacity, sizeof *numbers * 1000000));
  ck_assert_ptr_eq(numbers, before);
  ck_assert_uint_eq(capacity, capacity_before);
  for (size_t i = 0; i < 1013; i++)
    ck_assert_double_eq(numbers[i], (double)i * 1.37);
  ebi_arena_free(arena);
  ck_assert_uint_eq(m.held, 0);
}
END_TEST

START_TEST(texts_are_copied_and_formatted) {
  ebi_arena *arena = ebi_arena_new(NULL);
  char word[] = "s-bed1";
  const char *copy = ebi_arena_text(arena, word), *part = ebi_arena_text_n(arena, word, 3);
  word[0] = 'X';
  ck_assert_str_eq(copy, "s-bed1");
  ck_assert_str_eq(part, "s-b");
  ck_assert_str_eq(ebi_arena_format(arena, "%s: %d of %.3f", copy, 17, 8.1875),
                   "s-bed1: 17 of 8.188");
  ebi_arena_free(arena);
}
END_TEST

/* Everything a context does on its own, with the n-th allocation failing. */
static bool use_context(const eb_allocator *allocator) {
  eb_context *context = eb_context_new(allocator);
  if (context == NULL)
    return false;
  bool done = true;
  for (int i = 0; i < 9; i++) {
    ebi_arena *arena = ebi_context_arena(context);
    done = done && arena != NULL && ebi_arena_array(arena, 11, 13) != NULL;
    if (arena != NULL && i % 3 == 1)
      ebi_context_release(context, arena);
  }
  done = eb_tables_search(context, "/some/where") == EB_OK && done;
  done = ebi_context_tables_arena(context) != NULL && done;
  ebi_diag(context, EB_ERROR, "odd", (ebi_where){"a.yaml", 3, 7}, "a book", "it is %d", 42);
  done = !ebi_diags_failed(context) && done;
  ck_assert_uint_eq(ebi_diag_errors(context), 1);
  eb_context_free(context);
  return done;
}

START_TEST(each_allocation_may_fail) {
  for (long n = 1;; n++) {
    ck_assert_int_lt(n, 200);
    meter m = {0};
    m.fail_at = n;
    eb_allocator allocator = {metered, &m, 1};
    bool done = use_context(&allocator);
    ck_assert_uint_eq(m.held, 0);
    if (done) {
      ck_assert_int_gt(n, 10);
      break;
    }
  }
}
END_TEST

START_TEST(folders_are_searched_from_the_front) {
  const char *before = getenv("EVENBREATH_TABLES");
  char *kept = before ? strdup(before) : NULL;
  setenv("EVENBREATH_TABLES", "/first/of:/second::", 1);
  eb_context *context = eb_context_new(NULL);
  if (kept)
    setenv("EVENBREATH_TABLES", kept, 1);
  else
    unsetenv("EVENBREATH_TABLES");
  free(kept);
  ck_assert_int_eq(eb_tables_search(context, "/later"), EB_OK);
  ck_assert_int_eq(eb_tables_search(context, "/latest"), EB_OK);
  ck_assert_int_eq(eb_tables_search(context, ""), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_tables_search(NULL, "/x"), EB_E_ARGUMENT);
  const char *const *folders;
  ck_assert_uint_eq(ebi_context_folders(context, &folders), 6);
  ck_assert_str_eq(folders[0], "/latest");
  ck_assert_str_eq(folders[1], "/later");
  ck_assert_str_eq(folders[2], "/first/of");
  ck_assert_str_eq(folders[3], "/second");
  eb_context_free(context);
}
END_TEST

START_TEST(statuses_have_their_sentence) {
  ck_assert_str_eq(eb_status_text(EB_OK), "done");
  ck_assert_str_eq(eb_status_text(EB_E_NO_SOLUTION), "there is no solution");
  ck_assert_str_eq(eb_status_text((eb_status)77), "no such status");
}
END_TEST

Suite *suite_arena(void) {
  Suite *suite = suite_create("arena");
  TCase *cases = tcase_create("arena");
  tcase_add_test(cases, items_are_aligned_zeroed_and_apart);
  tcase_add_test(cases, block_size_one_gives_each_item_its_own_block);
  tcase_add_test(cases, overflow_is_no_memory);
  tcase_add_test(cases, growing_keeps_what_was_there);
  tcase_add_test(cases, texts_are_copied_and_formatted);
  tcase_add_test(cases, each_allocation_may_fail);
  tcase_add_test(cases, folders_are_searched_from_the_front);
  tcase_add_test(cases, statuses_have_their_sentence);
  suite_add_tcase(suite, cases);
  return suite;
}
