/* import: site sheets, company files, price agreements, the round, comma-separated rows. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "core-error.h"
#include "store-agreement.h"
#include "core-change.h"
#include "store-master.h"
#include "store-preview.h"
#include "store-round.h"

#include <stdio.h>
#include <string.h>

static const char *const OUTCOMES[] = {
  [TD_IMPORT_ADDED] = "new", [TD_IMPORT_CHANGED] = "changed", [TD_IMPORT_SAME] = "already as in the file"
};

static gboolean
import_site (TdBook *book, const TdJson *json, const char *path, GError **error)
{
  g_autoptr (TdSite) site = td_site_from_json (json, error);
  TdSiteImport import = { 0 };

  if (site == NULL || !td_book_import_site (book, site, &import, error))
    return FALSE;
  printf ("%s: site %s, %s (version %u of its sheet)\n", path, import.site_id, OUTCOMES[import.outcome],
          import.rev);
  td_site_import_clear (&import);
  return TRUE;
}

static gboolean
import_agreement (TdBook *book, const TdJson *json, const char *path, GError **error)
{
  TdImportOutcome outcome = TD_IMPORT_SAME;

  if (!td_book_import_agreement (book, json, &outcome, error))
    return FALSE;
  printf ("%s: agreement, %s\n", path, OUTCOMES[outcome]);
  return TRUE;
}

static void
print_count (const char *path, const char *what, const TdImportCount *count)
{
  printf ("%s: %s: %u new, %u changed, %u the same\n", path, what, count->added, count->changed, count->same);
}

static gboolean
import_round (TdBook *book, const TdJson *json, const char *path, GError **error)
{
  TdImportCount count = { 0 };

  if (!td_book_import_round (book, json, &count, error))
    return FALSE;
  print_count (path, "round", &count);
  return TRUE;
}

static gboolean
import_json (TdBook *book, const char *text, gsize length, const char *path, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (text, (gssize) length, error);
  g_autoptr (TdMasters) masters = NULL;
  TdImportCount count = { 0 };
  TdJson *format;

  if (json == NULL)
    return FALSE;
  format = td_json_get_kind (json) == TD_JSON_OBJECT ? td_json_get_member (json, "format") : NULL;
  if (format == NULL || td_json_get_kind (format) != TD_JSON_STRING)
    {
      td_json_set_error (json, TD_ERROR_SHAPE, error, "the key \"format\" is missing; it is \"%s\", \"%s\" or \"%s\"",
                         TD_SITE_FORMAT, TD_COMPANY_FORMAT, TD_AGREEMENT_FORMAT);
      return FALSE;
    }
  if (strcmp (td_json_get_string (format), TD_AGREEMENT_FORMAT) == 0)
    return import_agreement (book, json, path, error);
  if (strcmp (td_json_get_string (format), TD_ROUND_FORMAT) == 0)
    return import_round (book, json, path, error);
  if (strcmp (td_json_get_string (format), TD_COMPANY_FORMAT) != 0)
    return import_site (book, json, path, error);
  masters = td_masters_from_json (json, error);
  if (masters == NULL || !td_book_import_company (book, masters, &count, error))
    return FALSE;
  print_count (path, "company", &count);
  return TRUE;
}

/* Names come in capitals from some machines. */
static gboolean
has_suffix (const char *path, const char *suffix)
{
  gsize length = strlen (path);
  gsize tail = strlen (suffix);

  return length >= tail && g_ascii_strcasecmp (path + length - tail, suffix) == 0;
}

static gboolean
import_file (TdBook *book, const char *path, GError **error)
{
  g_autofree char *text = NULL;
  gsize length = 0;
  TdImportCount count = { 0 };

  if (!td_ctl_read_file (path, &text, &length, error))
    return FALSE;
  if (!has_suffix (path, ".csv"))
    {
      if (import_json (book, text, length, path, error))
        return TRUE;
    }
  else if (td_book_import_csv (book, text, (gssize) length, &count, error))
    {
      print_count (path, "rows", &count);
      return TRUE;
    }
  g_prefix_error (error, "%s: ", path);
  return FALSE;
}

static void
print_row (const TdPreviewRow *row)
{
  static const char *const kinds[TD_N_MASTERS]
      = { "company", "account", "site", "technician", "instrument", "product", "lot" };
  static const char *const outcomes[] = { "new", "changed", "same", "refused" };

  printf ("  line %u: %s %s: %s", row->line, kinds[row->kind], row->title != NULL ? row->title : "-",
          outcomes[row->outcome]);
  if (row->message != NULL)
    printf (": %s", row->message);
  putchar ('\n');
  for (guint i = 0; row->changes != NULL && i < row->changes->len; i++)
    {
      const TdChange *change = g_ptr_array_index (row->changes, i);

      printf ("    %s: %s -> %s\n", change->path, change->old_text != NULL ? change->old_text : "-",
              change->new_text != NULL ? change->new_text : "-");
    }
}

/* What the files would change; nothing is written. Refused where a file would be. */
static TdCtlStatus
preview (const TdCtlInfo *info, TdBook *book, char **paths)
{
  guint n = g_strv_length (paths), refused = 0;
  g_autofree TdPreviewFile *files = g_new0 (TdPreviewFile, n + 1);
  g_auto (GStrv) texts = g_new0 (char *, n + 1);
  g_autoptr (GPtrArray) previews = NULL;
  GError *error = NULL;

  for (guint i = 0; i < n; i++)
    {
      if (!td_ctl_read_file (paths[i], &texts[i], &files[i].length, &error))
        return td_ctl_refuse (info, error);
      files[i].name = paths[i];
      files[i].text = texts[i];
    }
  previews = td_book_preview (book, files, n, &error);
  if (previews == NULL)
    return td_ctl_refuse (info, error);
  for (guint i = 0; i < n; i++)
    {
      const TdPreview *one = g_ptr_array_index (previews, i);

      printf ("%s: %u new, %u changed, %u the same, %u refused\n", one->name, one->counts[TD_PREVIEW_NEW],
              one->counts[TD_PREVIEW_CHANGED], one->counts[TD_PREVIEW_SAME], one->counts[TD_PREVIEW_REFUSED]);
      for (guint j = 0; j < one->rows->len; j++)
        print_row (g_ptr_array_index (one->rows, j));
      refused += one->counts[TD_PREVIEW_REFUSED];
    }
  return refused > 0 ? TD_CTL_REFUSED : TD_CTL_DONE;
}

TdCtlStatus
td_ctl_import (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  gboolean look = FALSE;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "preview", 0, 0, G_OPTION_ARG_NONE, &look, "Only tell what would change, row by row", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, G_MAXINT, &words, &status))
    return status;
  book = look ? td_ctl_open_book_reading (&options, &error) : td_ctl_open_book (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  if (look)
    return preview (info, book, words);
  for (guint i = 0; words[i] != NULL; i++)
    if (!import_file (book, words[i], &error))
      return td_ctl_refuse (info, error);
  return TD_CTL_DONE;
}
