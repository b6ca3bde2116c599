/* oom_malloc.c - each malloc of the process fails in turn
 *
 * Like oom.c, but below the library's own door: what the parser, the folders of
 * tables and the solvers of other libraries ask for fails too. This program's
 * malloc stands before the C library's. Speaks TAP. A few hundred requests of each case
 * fail; with the argument "every" each one does, which takes minutes. */

#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */
#endif

#include <dlfcn.h>
#include <errno.h>
#include <gsl/gsl_errno.h>
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "oom_house.h"

#if defined __SANITIZE_ADDRESS__
#define UNDER_SANITIZER 1
#elif defined __has_feature
#if __has_feature(address_sanitizer)
#define UNDER_SANITIZER 1
#endif
#endif

#ifdef UNDER_SANITIZER

int main(void) {
  printf("1..0 # SKIP the sanitizer has a malloc of its own\n");
  return 0;
}

#else

static struct {
  bool armed, failed;
  size_t requests, fail_at;
  long live;
} count;

static void *(*real_realloc)(void *, size_t);
static void *(*real_malloc)(size_t);
static void *(*real_calloc)(size_t, size_t);
static void (*real_free)(void *);

/* dlsym may ask for memory itself before it has found malloc. */
static char early[8192];
static size_t early_used;

static void *early_memory(size_t size) {
  void *memory = early + early_used;
  early_used += (size + 15) / 16 * 16;
  if (early_used > sizeof early)
    abort();
  return memory;
}

static bool is_early(const void *pointer) {
  return (const char *)pointer >= early && (const char *)pointer < early + sizeof early;
}

static void find_real(void) {
  static bool looking;
  if (real_free || looking)
    return;
  looking = true;
  *(void **)&real_malloc = dlsym(RTLD_NEXT, "malloc");
  *(void **)&real_calloc = dlsym(RTLD_NEXT, "calloc");
  *(void **)&real_realloc = dlsym(RTLD_NEXT, "realloc");
  *(void **)&real_free = dlsym(RTLD_NEXT, "free");
  looking = false;
}

/* True where this request is to fail. */
static bool refuse(void) {
  if (!count.armed || count.requests++ != count.fail_at)
    return false;
  count.failed = true;
  errno = ENOMEM;
  return true;
}

void *malloc(size_t size) {
  find_real();
  if (!real_malloc)
    return early_memory(size);
  void *memory = refuse() ? NULL : real_malloc(size);
  count.live += count.armed && memory;
  return memory;
}

void free(void *pointer) {
  find_real();
  if (!pointer || is_early(pointer))
    return;
  count.live -= count.armed;
  real_free(pointer);
}

void *realloc(void *pointer, size_t size) {
  find_real();
  if (!pointer)
    return malloc(size);
  if (size <= malloc_usable_size(pointer)) /* giving some back: who is refused keeps it and goes on */
    return real_realloc(pointer, size);
  return refuse() ? NULL : real_realloc(pointer, size);
}

void *calloc(size_t number, size_t size) {
  find_real();
  if (!real_calloc)
    return early_memory(number * size); /* static, so zero */
  void *memory = refuse() ? NULL : real_calloc(number, size);
  count.live += count.armed && memory;
  return memory;
}

static eb_status run_once(const oom_case *one, size_t fail_at) {
  count.requests = 0;
  count.fail_at = fail_at;
  count.failed = false;
  count.live = 0;
  count.armed = true;
  eb_status status = oom_run(one, NULL);
  count.armed = false;
  return status;
}

/* Walks upward through the requests, all of them or some `FEW` evenly apart. */
static size_t walk(const oom_case *one, bool every) {
  enum { MOST = 1000000, FEW = 300 };
  run_once(one, (size_t)-1); /* what is made once and kept */
  run_once(one, (size_t)-1);
  size_t step = every ? 1 : 1 + count.requests / FEW;
  size_t walks = 0;
  for (size_t n = 0; n < MOST; n += step, walks++) {
    eb_status status = run_once(one, n);
    /* GSL's trust region, refused its last piece, does not give the others back (2.7.1). */
    bool kept = count.live != 0 && !(one->balance && count.failed);
    if (status != (count.failed ? EB_E_MEMORY : one->wanted) || kept) {
      printf("# malloc %zu: status %d, %ld pieces of memory left\n", n, (int)status, count.live);
      return 0;
    }
    if (!count.failed)
      return walks;
  }
  printf("# more than %d requests\n", MOST);
  return 0;
}

int main(int argc, char **argv) {
  bool every = argc > 1 && strcmp(argv[1], "every") == 0;
  size_t failed = 0;
  setvbuf(stdout, NULL, _IONBF, 0);
  gsl_set_error_handler_off();
  printf("1..%zu\n", n_oom_cases);
  for (size_t i = 0; i < n_oom_cases; i++) {
    const oom_case *one = &oom_cases[i];
    size_t walks = walk(one, every);
    printf("%sok %zu - %s: %zu walks\n", walks ? "" : "not ", i + 1, one->name, walks);
    failed += walks == 0;
  }
  return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
