/* desk-book-acts.h: what a person does with whole books and files: the window's actions of the menu.
 *
 * "win.open-book", "win.open-recent" (s: a path), "win.new-book", "win.open-demo", "win.close-book",
 * "win.import", "win.back-up", "win.restore".  Those that ask for files come in two halves, so that the
 * second can be had without the asking. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Adds the actions to the window's class. */
void td_book_acts_install (GtkWidgetClass *klass);
/* Enables those that fit, after a book was opened or closed. */
void td_book_acts_update (GtkWidget *window, TdContext *context);

/* The second halves. @window: a TdWindow, which says how it went. */
void td_book_acts_import (GtkWidget *window, GListModel *files);
void td_book_acts_back_up (GtkWidget *window, const char *copy_path);
/* Puts @copy_path in the place of @book_path, keeping what stood there beside it, and opens it. */
void td_book_acts_restore (GtkWidget *window, const char *copy_path, const char *book_path);

G_END_DECLS
