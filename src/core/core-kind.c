#include "core-kind.h"

#include <string.h>

#include "core-kind-private.h"

typedef struct
{
  const char *code;
  const char *text;
} KindName;

static const KindName names[TD_N_KINDS] = {
#define TD_KIND_ROW(symbol, code, text) { code, text },
#include "core-kind.def"
#undef TD_KIND_ROW
};

const char *
td_kind_get_code (TdKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);

  return names[kind].code;
}

const char *
td_kind_get_text (TdKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);

  return names[kind].text;
}

gboolean
td_kind_from_code (const char *code, TdKind *kind_out)
{
  g_return_val_if_fail (code != NULL, FALSE);
  g_return_val_if_fail (kind_out != NULL, FALSE);

  for (guint i = 0; i < TD_N_KINDS; i++)
    if (strcmp (names[i].code, code) == 0)
      {
        *kind_out = (TdKind) i;
        return TRUE;
      }
  return FALSE;
}

const TdField *
td_kind_get_fields (TdKind kind)
{
  const TdField *fields = td_kind_fields_prepare (kind);

  if (fields == NULL)
    fields = td_kind_fields_clean (kind);
  if (fields == NULL)
    fields = td_kind_fields_finish (kind);
  g_assert (fields != NULL);
  return fields;
}
