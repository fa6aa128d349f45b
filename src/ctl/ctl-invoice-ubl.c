/* Issued invoices as electronic ones: UBL 2.1 by EN 16931, a file each. */
#include "ctl-invoice.h"

#include "exchange-out.h"
#include "exchange-ubl.h"
#include "store-export.h"

#include <stdio.h>
#include <string.h>

/* "INV-00012.xml": a number may hold what a file's name cannot. (transfer full) */
static char *
make_path (const char *folder, const char *number)
{
  g_autofree char *name = g_strconcat (number, ".xml", NULL);

  for (char *c = name; *c != '\0'; c++)
    if (*c == '/' || (guchar) *c < ' ')
      *c = '-';
  return g_build_filename (folder, name, NULL);
}

static char *
write_one (TdBook *book, const char *number, GError **error)
{
  g_autoptr (TdInvoice) invoice = td_book_get_invoice_to_send (book, number, error);

  return invoice != NULL ? td_ubl_write (invoice, error) : NULL;
}

/* All that cannot be written, one after the other, before the first is. */
static gboolean
check_all (TdBook *book, const GPtrArray *numbers, GError **error)
{
  g_autoptr (GString) refused = g_string_new (NULL);
  guint n = 0;

  for (guint i = 0; i < numbers->len; i++)
    {
      g_autoptr (GError) why = NULL;
      g_autofree char *xml = write_one (book, g_ptr_array_index (numbers, i), &why);

      if (xml == NULL)
        g_string_append_printf (refused, "%s%s", n++ > 0 ? "\n" : "", why->message);
    }
  if (n == 0)
    return TRUE;
  if (n == 1)
    g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, refused->str);
  else
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
                 "%u of %u cannot be written as electronic invoices; nothing was written\n%s", n, numbers->len,
                 refused->str);
  return FALSE;
}

gboolean
td_ctl_invoice_write_ubl (TdBook *book, const GPtrArray *numbers, const TdCtlInvoice *options, GError **error)
{
  gboolean folder = options->out != NULL && g_file_test (options->out, G_FILE_TEST_IS_DIR);

  if (options->out == NULL || (!folder && numbers->len != 1))
    {
      g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                   "electronic invoices are a file each: %u of them need -o FOLDER, one that is there", numbers->len);
      return FALSE;
    }
  if (!check_all (book, numbers, error))
    return FALSE;
  for (guint i = 0; i < numbers->len; i++)
    {
      const char *number = g_ptr_array_index (numbers, i);
      g_autofree char *path = folder ? make_path (options->out, number) : g_strdup (options->out);
      g_autofree char *xml = write_one (book, number, error);

      if (xml == NULL || !td_out_write_file (path, xml, -1, error))
        return FALSE;
      if (strcmp (path, "-") != 0)
        printf ("%s: %s\n", number, path);
    }
  return TRUE;
}
