/* model-row.h: a row of a list: one object that shows one immutable value.
 *
 * The value is a core value, or a struct of this layer that is treated like one: reference counted and
 * never written after it was made.  The item is the only thing that changes: it may be empty for a moment
 * (its page is on its way), and it may be given a newer value of the same row.  Final subclasses add
 * read-only properties that look into the value; what a property says of an empty item is the default of
 * its type.  Formatted text is no business of an item, but of a closure in the window. */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_ROW (td_row_get_type ())
G_DECLARE_DERIVABLE_TYPE (TdRow, td_row, TD, ROW, GObject)

/* @ref_value, @unref_value: of the values; both required, set in class_init. The rest is
 * td_row_class_install()'s. */

struct _TdRowClass
{
  GObjectClass parent_class;
  gpointer (*ref_value) (gpointer value);
  void (*unref_value) (gpointer value);
  GParamSpec **values; /* of the properties that look into the value */
  guint n_values;
};

/* Called once from a subclass's class_init: installs @properties (index 0 unused) and remembers them, so
 * that a new value notifies of all of them. @properties: static. */
void td_row_class_install (TdRowClass *klass, GParamSpec **properties, guint n_properties);

/* Which row of the list this is: unchanged for the item's whole life. */
gint64 td_row_get_key (TdRow *self);
/* Returns: (transfer none) (nullable): NULL while the item is empty. */
gpointer td_row_get_value (TdRow *self);
/* Takes a reference to @value and notifies. Properties "key" and "loaded" are the item's own. */
void td_row_set_value (TdRow *self, gpointer value);

G_END_DECLS
