/* desk-choose.h: asking for files in the desktop's own way. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef enum
{
  TD_CHOOSE_OPEN,
  TD_CHOOSE_OPEN_MANY,
  TD_CHOOSE_SAVE,
  TD_CHOOSE_FOLDER
} TdChooseHow;

typedef enum
{
  TD_CHOOSE_BOOKS,  /* *.tundish */
  TD_CHOOSE_SHEETS, /* site sheets, company files, accounts */
  TD_CHOOSE_PDF,
  TD_CHOOSE_BUNDLES /* *.bundle */
} TdChooseWhat;

/* Called with what was chosen, never with nothing. @files: (element-type GFile) (transfer none). */
typedef void (*TdChosen) (GtkWidget *widget, GListModel *files, gpointer user_data);

/* @widget: asks, and is kept alive until it is answered. @name: (nullable): proposed where to save.
 * @title: translated. @user_data: (transfer full): freed by @free_data (nullable) afterwards. */
void td_choose_files (GtkWidget *widget,
                      TdChooseHow how,
                      TdChooseWhat what,
                      const char *title,
                      const char *name,
                      TdChosen chosen,
                      gpointer user_data,
                      GDestroyNotify free_data);

G_END_DECLS
