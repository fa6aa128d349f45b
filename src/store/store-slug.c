#include "store-slug.h"

#include "core-slug.h"

char *
td_slug_find_free (TdBook *book, TdSql find, const char *name, GError **error)
{
  g_assert (name != NULL);
  g_autofree char *base = td_slug_from_text (name);
  g_autofree char *slug = g_strdup (base);
  g_autoptr (TdStatement) ask = td_statement_get (book, find, error);
  if (ask == NULL)
    return NULL;
  for (guint n = 2;; n++)
    {
      td_statement_bind_text (ask, ":slug", slug);
      TdStep step = td_statement_ask (ask, error);
      if (step == TD_STEP_FAILED)
        return NULL;
      if (step == TD_STEP_DONE)
        return g_steal_pointer (&slug);
      td_statement_rewind (ask);
      g_free (slug);
      slug = g_strdup_printf ("%s-%u", base, n);
    }
}
