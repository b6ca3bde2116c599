/* replay.c - gives a fuzz target every file it is handed, without a fuzzer
 *
 * Arguments are files and folders. A target that finds something wrong aborts. */

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "fuzz.h"

/* Gives the target the whole file, then its first half: text that just stops. */
static size_t replay_file(const char *path) {
  FILE *file = fopen(path, "rb");
  if (!file)
    return 0;
  static uint8_t buffer[1 << 20];
  size_t size = fread(buffer, 1, sizeof buffer, file);
  fclose(file);
  for (int part = 1; part <= 2; part++) {
    uint8_t *bytes = malloc(size / (size_t)part + 1);
    if (!bytes)
      abort();
    memcpy(bytes, buffer, size / (size_t)part);
    LLVMFuzzerTestOneInput(bytes, size / (size_t)part);
    free(bytes);
  }
  return 1;
}

static size_t replay(const char *path) {
  struct stat about;
  if (stat(path, &about) != 0)
    return 0;
  if (!S_ISDIR(about.st_mode))
    return S_ISREG(about.st_mode) ? replay_file(path) : 0;
  size_t count = 0;
  DIR *folder = opendir(path);
  for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
    char inner[4096];
    if (entry->d_name[0] == '.' ||
        snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name) >= (int)sizeof inner)
      continue;
    count += replay(inner);
  }
  if (folder)
    closedir(folder);
  return count;
}

int main(int count, char **paths) {
  int failed = 0;
  for (int i = 1; i < count; i++) {
    size_t files = replay(paths[i]);
    failed += files == 0;
    printf("%s: %zu inputs\n", paths[i], files);
  }
  return count > 1 && failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
