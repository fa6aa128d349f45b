#include "core-safety.h"

#include <string.h>

/* Marks a text for translation; whoever shows it translates it. */
#define N_(text) text

/* By part. */
static const TdSafetyWord words[] = {
#define TD_SAFETY_WORD(part, code, text) { TD_SAFETY_##part, code, text },
#include "core-safety.def"
#undef TD_SAFETY_WORD
};

static const struct
{
  const char *code;
  const char *hazard;
  gboolean danger;
} classes[] = {
#define TD_SAFETY_CLASS_OF(code, hazard, danger) { code, hazard, danger },
#include "core-safety.def"
#undef TD_SAFETY_CLASS_OF
};

static const struct
{
  const char *substance;
  gint64 from_milli;
  const char *code;
} limits[] = {
#define TD_SAFETY_LIMIT(substance, from_milli, code) { substance, from_milli, code },
#include "core-safety.def"
#undef TD_SAFETY_LIMIT
};

const char *
td_safety_part_to_text (TdSafetyPart part)
{
  static const char *const texts[TD_N_SAFETY] = { "classes", "hazards", "precautions", "protection", "never_with" };

  g_return_val_if_fail ((guint) part < TD_N_SAFETY, NULL);
  return texts[part];
}

const TdSafetyWord *
td_safety_list (TdSafetyPart part, guint *n_out)
{
  guint first = 0;
  guint end;

  g_return_val_if_fail ((guint) part < TD_N_SAFETY && n_out != NULL, NULL);
  while (words[first].part != part)
    first++;
  for (end = first; end < G_N_ELEMENTS (words) && words[end].part == part; end++)
    ;
  *n_out = end - first;
  return &words[first];
}

const TdSafetyWord *
td_safety_find (TdSafetyPart part, const char *code)
{
  guint n = 0;
  const TdSafetyWord *list = td_safety_list (part, &n);

  g_return_val_if_fail (code != NULL, NULL);
  for (guint i = 0; i < n; i++)
    if (strcmp (list[i].code, code) == 0)
      return &list[i];
  return NULL;
}

gboolean
td_product_is_danger (const TdProduct *product)
{
  char **codes;

  g_return_val_if_fail (product != NULL, FALSE);
  codes = product->safety[TD_SAFETY_CLASS];
  for (guint i = 0; codes != NULL && codes[i] != NULL; i++)
    for (gsize c = 0; c < G_N_ELEMENTS (classes); c++)
      if (classes[c].danger && strcmp (classes[c].code, codes[i]) == 0)
        return TRUE;
  return FALSE;
}

const char *
td_safety_get_solution_class (const char *substance, gint64 percent_milli)
{
  g_return_val_if_fail (substance != NULL && percent_milli >= 0, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (limits); i++)
    if (strcmp (limits[i].substance, substance) == 0 && percent_milli >= limits[i].from_milli)
      return limits[i].code;
  return NULL;
}

const char *
td_safety_get_hazard (const char *code)
{
  g_return_val_if_fail (code != NULL, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (classes); i++)
    if (strcmp (classes[i].code, code) == 0)
      return classes[i].hazard;
  g_return_val_if_reached (NULL);
}

char *
td_safety_describe (TdSafetyPart part, char *const *codes, const char *separator, TdTranslate translate)
{
  const gboolean coded = part == TD_SAFETY_HAZARD || part == TD_SAFETY_PRECAUTION;
  GString *text;

  g_return_val_if_fail (separator != NULL && translate != NULL, NULL);
  if (codes == NULL || codes[0] == NULL)
    return NULL;
  text = g_string_new (NULL);
  for (guint i = 0; codes[i] != NULL; i++)
    {
      const TdSafetyWord *word = td_safety_find (part, codes[i]);

      g_string_append_printf (text, "%s%s", i > 0 ? separator : "", coded || word == NULL ? codes[i] : "");
      if (word != NULL)
        g_string_append_printf (text, "%s%s", coded ? " " : "", translate (word->text));
    }
  return g_string_free (text, FALSE);
}

char *
td_safety_join (char *const *codes)
{
  return codes != NULL && codes[0] != NULL ? g_strjoinv (" ", (char **) codes) : NULL;
}

char **
td_safety_split (const char *text)
{
  return text != NULL && *text != '\0' ? g_strsplit (text, " ", -1) : NULL;
}
