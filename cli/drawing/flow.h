/* flow.h - headings, paragraphs, tables and pictures set on numbered pages
 *
 * What is put in is collected first and set when it is printed, so that each page can say how many
 * there are. A heading never stands alone at the end of a page; a table that goes over pages has
 * its heading on each. */

#ifndef CLI_DRAWING_FLOW_H
#define CLI_DRAWING_FLOW_H

#include "drawing/picture.h"
#include "sheet.h"

typedef struct flow flow;

typedef enum flow_style { FLOW_PLAIN, FLOW_BOLD, FLOW_SMALL, FLOW_ITEM } flow_style;

/* `title` stands at the head of every page. NULL when memory ran out; the functions below accept
 * that, and flow_print then reports it. */
flow *flow_new(const char *title, const cli_paper *paper);
void flow_free(flow *pages);

/* A part of the document: it stands in the bookmarks, the contents and at the head of its pages.
 * `fresh`: it begins a page. */
void flow_section(flow *pages, const char *title, bool fresh);

void flow_heading(flow *pages, const char *title);

#if defined __GNUC__
__attribute__((format(printf, 3, 4)))
#endif
void flow_text(flow *pages, flow_style style, const char *format, ...);

/* Takes the sheet over. Its first `heads` rows are the heading; two blanks at the beginning of a
 * row are left out, and a row of one cell without them heads what follows. A cell of underscores is
 * a line to write on. */
void flow_table(flow *pages, cli_sheet *sheet, size_t heads);

/* One that lacks nothing, calculated. */
void flow_picture(flow *pages, const picture *one, const cli_run *runs, size_t count);

/* The list of all sections with their pages. */
void flow_contents(flow *pages);

/* Writes the PDF, whole or not at all; false after a message. */
bool flow_print(flow *pages, FILE *out);

#endif
