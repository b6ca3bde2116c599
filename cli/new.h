/* new.h - evenbreath new: a house file to begin with */

#ifndef CLI_NEW_H
#define CLI_NEW_H

/* argv[0] is the command's name. Returns the exit status. */
int new_run(int argc, char **argv);

#endif
