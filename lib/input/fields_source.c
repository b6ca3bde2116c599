/* fields_source.c - where a figure comes from, and how that is known */

#include "input/fields.h"

static const char *const known_words[] = {"read", "quoted", "memory", "invented", NULL};

typedef struct document_words {
  const char *document, *edition, *at;
} document_words;

static const ebi_field document_fields[] = {
    {.key = "document",
     .type = EBI_FIELD_TEXT,
     .required = true,
     .offset = offsetof(document_words, document),
     .about = "the name of the document"},
    {.key = "edition",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(document_words, edition),
     .about = "year or edition"},
    {.key = "at",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(document_words, at),
     .about = "clause, table or page"},
};

const ebi_field ebi_source_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT}, {.type = EBI_FIELD_MAPPING, EBI_TABLE(document_fields)})};
const ebi_field ebi_known_form = {.type = EBI_FIELD_WORD, .words = known_words};

/* "Document, edition, place". */
static void read_document(ebi_reader *reader, const ebi_yaml *value, ebi_source *source) {
  document_words words = {0};
  ebi_fields_read(reader, value, "a source", document_fields,
                  sizeof document_fields / sizeof document_fields[0], &words);
  if (!words.document)
    return;
  const char *text = ebi_arena_format(reader->arena, "%s%s%s%s%s", words.document,
                                      words.edition ? ", " : "", words.edition ? words.edition : "",
                                      words.at ? ", " : "", words.at ? words.at : "");
  if (text)
    source->text = text;
  else
    ebi_read_memory(reader, value);
}

void ebi_read_source(ebi_reader *reader, const ebi_yaml *mapping, const ebi_source *inherited,
                     ebi_source *source) {
  static const ebi_source nothing = {"", "memory"};
  const ebi_yaml *text = ebi_yaml_get(mapping, "source");
  const ebi_yaml *known = ebi_yaml_get(mapping, "known");
  *source = inherited ? *inherited : nothing;
  if (text && text->kind == EBI_YAML_MAPPING)
    read_document(reader, text, source);
  else if (text)
    ebi_read_text(reader, text, &source->text);
  else if (!inherited)
    ebi_read_error(reader, mapping, "key-missing",
                   "\"source\" is missing: say which document, edition and table it is from");
  if (known)
    ebi_read_word(reader, known, known_words, &source->known);
  else if (!inherited)
    ebi_read_error(reader, mapping, "key-missing",
                   "\"known\" is missing: write read, quoted, memory or invented");
}
