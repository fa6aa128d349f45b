/* model-value.h: the fields of a journal entry as people type and read them. */
#pragma once

#include "core-kind.h"
#include "core-units.h"

G_BEGIN_DECLS

/* The unit that a bare figure is in: "°F", "mL", "pH"; NULL where it is a count. */
const char *td_field_get_symbol (const TdField *field, const TdUnitStyle *style);
/* Reads what was typed for an integer of the journal, a bare figure in td_field_get_symbol().
 * Returns FALSE with TD_ERROR_PARSE, or TD_ERROR_RANGE outside the field's bounds. */
gboolean td_field_parse (const TdField *field, const char *text, const TdUnitStyle *style, gint64 *value_out, GError **error);
/* Returns: (transfer full): the figure alone, in td_field_get_symbol(), that td_field_parse() reads back
 * to the same reading. */
char *td_field_format (const TdField *field, gint64 value, const TdUnitStyle *style);
/* What stands before the field: "Water", "Strength". Translated. */
const char *td_field_get_label (TdKind kind, const TdField *field);
/* A word of a choice for people: "nearly empty"; translated. */
const char *td_choice_get_label (const char *key, const char *word);

G_END_DECLS
