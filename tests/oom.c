/* oom.c - each request for memory fails in turn
 *
 * The n-th request fails, and so do all after it in one walk, only it in the
 * other; n goes up until none fails any more. Each time the outcome must be
 * EB_E_MEMORY and nothing may be left. Blocks of one byte make every item of an
 * arena a request. Speaks TAP. */

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include "oom_house.h"

typedef struct counter {
  size_t requests, fail_at, live;
  bool for_good; /* all after it fail too */
  bool failed;
} counter;

static void *resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  counter *count = user;
  (void)old_size;
  if (new_size == 0) {
    count->live -= pointer != NULL;
    free(pointer);
    return NULL;
  }
  size_t number = count->requests++;
  if (number == count->fail_at || (count->for_good && number > count->fail_at)) {
    count->failed = true;
    return NULL;
  }
  void *fresh = realloc(pointer, new_size);
  if (!fresh)
    abort();
  count->live += pointer == NULL;
  return fresh;
}

/* Walks n upward by `step`; returns how many walks, 0 where one went wrong. */
static size_t walk(const oom_case *one, size_t block_bytes, size_t step, bool for_good) {
  enum { MOST = 2000000 };
  counter count = {0};
  eb_allocator allocator = {resize, &count, block_bytes};
  size_t walks = 0;
  for (size_t n = 0; n < MOST; n += step, walks++) {
    count = (counter){.fail_at = n, .for_good = for_good};
    eb_status status = oom_run(one, &allocator);
    if (count.live != 0 || status != (count.failed ? EB_E_MEMORY : one->wanted)) {
      printf("# request %zu: status %d, %zu pieces of memory left\n", n, (int)status, count.live);
      return 0;
    }
    if (!count.failed)
      return walks;
  }
  printf("# more than %d requests\n", MOST);
  return 0;
}

/* What asks for much is walked in so many steps. */
static size_t step_of(const oom_case *one) {
  enum { WALKS = 60, EACH = 7 };
  counter count = {.fail_at = SIZE_MAX};
  eb_allocator allocator = {resize, &count, 1};
  (void)oom_run(one, &allocator);
  size_t step = count.requests / WALKS;
  return step > EACH ? step | 1 : EACH;
}

int main(void) {
  size_t failed = 0;
  printf("1..%zu\n", n_oom_cases * 2);
  for (size_t i = 0; i < n_oom_cases; i++) {
    const oom_case *one = &oom_cases[i];
    size_t large = walk(one, 0, 1, true);
    printf("%sok %zu - %s, usual blocks: %zu requests\n", large ? "" : "not ", 2 * i + 1, one->name,
           large);
    size_t small = walk(one, 1, step_of(one), false);
    printf("%sok %zu - %s, blocks of one byte: %zu walks\n", small ? "" : "not ", 2 * i + 2,
           one->name, small);
    failed += large == 0 || small == 0;
  }
  return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
