/* read_unit_sound.c - the sound power of a unit in the ducts at its spigots
 *
 *   sound:
 *     - spigot: supply
 *       flow: 40 l/s
 *       pressure: 100 Pa         # what the fan raises then
 *       speed: 60 %              # of its top speed, where known
 *       power: {columns: [Hz, dB], points: [[63, 58], [125, 60], ...]}
 *
 * One entry or more a spigot: the more duties, the nearer the truth between them. */

#include "input/read_octaves.h"
#include "input/read_unit.h"

/* In the order of eb_air. */
static const char *const spigot_words[] = {"outdoor", "supply", "extract", "exhaust", NULL};

typedef struct sound_keys {
  const char *spigot;
  ebi_given flow, pressure, speed;
  ebi_octaves power;
} sound_keys;

static void read_power(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)ebi_read_octaves(reader, value, false, &((sound_keys *)record)->power);
}

static const ebi_field sound_fields[] = {{.key = "spigot",
                                          .type = EBI_FIELD_WORD,
                                          .required = true,
                                          .offset = offsetof(sound_keys, spigot),
                                          .words = spigot_words,
                                          .about = "in whose duct"},
                                         {.key = "flow",
                                          .type = EBI_FIELD_QUANTITY,
                                          .required = true,
                                          .offset = offsetof(sound_keys, flow),
                                          .kind = EBI_FLOW,
                                          .low = 1e-4,
                                          .high = 10,
                                          .about = "of the fan while it was measured"},
                                         {.key = "pressure",
                                          .type = EBI_FIELD_QUANTITY,
                                          .required = true,
                                          .offset = offsetof(sound_keys, pressure),
                                          .kind = EBI_PRESSURE,
                                          .low = 1,
                                          .high = 1e5,
                                          .about = "rise of the fan, spigot to spigot"},
                                         {.key = "speed",
                                          .type = EBI_FIELD_QUANTITY,
                                          .offset = offsetof(sound_keys, speed),
                                          .kind = EBI_RATIO,
                                          .low = 0.01,
                                          .high = 1,
                                          .about = "share of the top speed, where known"},
                                         {.key = "power",
                                          .type = EBI_FIELD_CUSTOM,
                                          .required = true,
                                          .read = read_power,
                                          .holds = &ebi_octaves_form,
                                          .about = "sound power by octave bands"}};

static void read_one(ebi_reader *reader, const ebi_yaml *value, ebi_unit_sound *sound) {
  sound_keys keys = {.spigot = spigot_words[EB_SUPPLY]};
  ebi_fields_read(reader, value, "a sound of a unit", sound_fields,
                  sizeof sound_fields / sizeof sound_fields[0], &keys);
  *sound = (ebi_unit_sound){.flow = keys.flow.value,
                            .pressure = keys.pressure.value,
                            .speed = keys.speed.value,
                            .power = keys.power};
  while (spigot_words[sound->spigot] != keys.spigot)
    sound->spigot++;
}

const ebi_field ebi_unit_sound_form = {.type = EBI_FIELD_LIST,
                                       .least = 1,
                                       EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(sound_fields))};

void ebi_unit_read_sound(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = record;
  if (value->kind != EBI_YAML_SEQUENCE || value->count == 0) {
    ebi_read_error(reader, value, "kind-wrong",
                   "`sound:` is a list: [{spigot: supply, flow: 40 l/s, pressure: 100 Pa, speed: "
                   "60 %%, power: {columns: [Hz, dB], points: [[125, 60], ...]}}]");
    return;
  }
  ebi_unit_sound *sounds = EBI_NEW_ARRAY(reader->arena, ebi_unit_sound, value->count);
  if (sounds == NULL) {
    ebi_read_no_memory(reader, value);
    return;
  }
  for (size_t i = 0; i < value->count; i++)
    read_one(reader, value->items[i], &sounds[i]);
  unit->sound = sounds;
  unit->n_sound = value->count;
}
