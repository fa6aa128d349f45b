#include "ctl-paper.h"

#include "ctl-context.h"

static gboolean
print (GBytes *bytes, GError **error)
{
  g_autoptr (GBytes) taken = bytes;
  gsize length = 0;
  const char *data = bytes != NULL ? g_bytes_get_data (bytes, &length) : NULL;

  return data != NULL && td_ctl_print (data, length, error);
}

gboolean
td_ctl_write_pages (const TdPages *pages, const char *path, const TdPdfInfo *info, GError **error)
{
  if (pages == NULL)
    return FALSE;
  return td_ctl_is_stdout (path) ? print (td_pdf_make (pages, info, error), error)
                                 : td_pdf_write (pages, path, info, error);
}

gboolean
td_ctl_write_bound (const GPtrArray *documents, const char *path, const TdPdfInfo *info, GError **error)
{
  return td_ctl_is_stdout (path) ? print (td_pdf_make_bound (documents, info, error), error)
                                 : td_pdf_write_bound (documents, path, info, error);
}
