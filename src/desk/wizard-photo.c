#include "wizard-photo.h"

#include "desk-i18n.h"
#include "store-attachment.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <glib/gstdio.h>

#define LONGEST_PX 1600
#define SMALLEST_PX 200

struct _TdWizardPhoto
{
  GtkWidget parent;
  GtkWidget *box;
  GtkWidget *button;
  GtkPicture *picture;
  GtkLabel *said;
  GtkFileChooserNative *chooser;
  char *path;
};

G_DEFINE_FINAL_TYPE (TdWizardPhoto, td_wizard_photo, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_CHANGED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

/* Encodes smaller and coarser until it fits. Returns: (transfer full): bytes. */
static char *
encode (GdkPixbuf *pixbuf, gsize *size_out, GError **error)
{
  static const char *const qualities[] = { "85", "70", "55" };
  g_autoptr (GdkPixbuf) now = g_object_ref (pixbuf);

  for (;;)
    {
      GdkPixbuf *smaller;

      for (gsize i = 0; i < G_N_ELEMENTS (qualities); i++)
        {
          g_autofree char *bytes = NULL;

          if (!gdk_pixbuf_save_to_buffer (now, &bytes, size_out, "jpeg", error, "quality", qualities[i], NULL))
            return NULL;
          if (*size_out <= TD_ATTACHMENT_MAX)
            return g_steal_pointer (&bytes);
        }
      if (gdk_pixbuf_get_width (now) < SMALLEST_PX)
        {
          g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_FAILED, _ ("The picture cannot be made small enough."));
          return NULL;
        }
      smaller = gdk_pixbuf_scale_simple (now, gdk_pixbuf_get_width (now) * 3 / 4,
                                         MAX (gdk_pixbuf_get_height (now) * 3 / 4, 1), GDK_INTERP_BILINEAR);
      g_object_unref (now);
      now = smaller;
    }
}

static void
forget (TdWizardPhoto *self)
{
  if (self->path != NULL)
    g_unlink (self->path);
  g_clear_pointer (&self->path, g_free);
}

/* Writes the picture anew: upright, small enough, and with nothing of the old file beside its pixels. */
static gboolean
take_pixbuf (TdWizardPhoto *self, GdkPixbuf *raw, GError **error)
{
  g_autoptr (GdkPixbuf) upright = gdk_pixbuf_apply_embedded_orientation (raw);
  g_autoptr (GdkPixbuf) plain = NULL;
  g_autofree char *bytes = NULL;
  g_autofree char *made = NULL;
  gsize size = 0;
  int handle;

  /* JPEG knows no transparency, and a copy carries no options of the old file with it. */
  plain = gdk_pixbuf_composite_color_simple (upright, gdk_pixbuf_get_width (upright), gdk_pixbuf_get_height (upright),
                                             GDK_INTERP_NEAREST, 255, 64, 0xffffff, 0xffffff);
  bytes = encode (plain, &size, error);
  if (bytes == NULL)
    return FALSE;
  handle = g_file_open_tmp ("tundish-photo-XXXXXX.jpg", &made, error);
  if (handle < 0)
    return FALSE;
  g_close (handle, NULL);
  if (!g_file_set_contents (made, bytes, (gssize) size, error))
    return FALSE;
  forget (self);
  self->path = g_steal_pointer (&made);
  gtk_picture_set_filename (self->picture, self->path);
  gtk_widget_set_visible (GTK_WIDGET (self->picture), TRUE);
  gtk_label_set_label (self->said, "");
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
  return TRUE;
}

gboolean
td_wizard_photo_take (TdWizardPhoto *self, const char *path, GError **error)
{
  g_autoptr (GdkPixbuf) raw = NULL;
  int width = 0, height = 0;

  g_return_val_if_fail (TD_IS_WIZARD_PHOTO (self) && path != NULL, FALSE);
  if (gdk_pixbuf_get_file_info (path, &width, &height) != NULL && MAX (width, height) <= LONGEST_PX)
    raw = gdk_pixbuf_new_from_file (path, error);
  else
    raw = gdk_pixbuf_new_from_file_at_scale (path, LONGEST_PX, LONGEST_PX, TRUE, error);
  return raw != NULL && take_pixbuf (self, raw, error);
}

gboolean
td_wizard_photo_take_texture (TdWizardPhoto *self, GdkTexture *texture, GError **error)
{
  g_autoptr (GdkPixbuf) raw = NULL;
  int width, height, longest;

  g_return_val_if_fail (TD_IS_WIZARD_PHOTO (self) && GDK_IS_TEXTURE (texture), FALSE);
  raw = gdk_pixbuf_get_from_texture (texture);
  if (raw == NULL)
    {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("That is no picture."));
      return FALSE;
    }
  width = gdk_pixbuf_get_width (raw);
  height = gdk_pixbuf_get_height (raw);
  longest = MAX (width, height);
  if (longest > LONGEST_PX)
    {
      g_autoptr (GdkPixbuf) large = g_steal_pointer (&raw);

      raw = gdk_pixbuf_scale_simple (large, MAX (width * LONGEST_PX / longest, 1), MAX (height * LONGEST_PX / longest, 1),
                                     GDK_INTERP_BILINEAR);
    }
  return take_pixbuf (self, raw, error);
}

static void
say_failed (TdWizardPhoto *self, const GError *error)
{
  gtk_label_set_label (self->said, error != NULL ? error->message : "");
}

static void
take_file (TdWizardPhoto *self, GFile *file)
{
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (GError) error = NULL;

  if (path == NULL)
    gtk_label_set_label (self->said, _ ("Only a picture on this machine can be taken."));
  else if (!td_wizard_photo_take (self, path, &error))
    say_failed (self, error);
}

static void
pasted_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWizardPhoto) self = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (GdkTexture) texture = gdk_clipboard_read_texture_finish (GDK_CLIPBOARD (source), result, &error);

  /* Put away meanwhile. */
  if (self->box == NULL)
    return;
  if (texture == NULL)
    gtk_label_set_label (self->said, _ ("There is no picture on the clipboard."));
  else if (!td_wizard_photo_take_texture (self, texture, &error))
    say_failed (self, error);
}

static void
paste_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gdk_clipboard_read_texture_async (gtk_widget_get_clipboard (widget), NULL, pasted_cb, g_object_ref (widget));
}

static gboolean
dropped_cb (GtkDropTarget *target, const GValue *value, double x, double y, TdWizardPhoto *self)
{
  g_autoptr (GError) error = NULL;

  if (G_VALUE_HOLDS (value, GDK_TYPE_TEXTURE))
    {
      if (!td_wizard_photo_take_texture (self, g_value_get_object (value), &error))
        say_failed (self, error);
    }
  else if (G_VALUE_HOLDS (value, GDK_TYPE_FILE_LIST))
    {
      g_autoptr (GSList) files = gdk_file_list_get_files (g_value_get_boxed (value));

      if (files != NULL)
        take_file (self, files->data);
    }
  else if (G_VALUE_HOLDS (value, G_TYPE_FILE))
    take_file (self, g_value_get_object (value));
  else
    return FALSE;
  return TRUE;
}

static void
add_drop_target (TdWizardPhoto *self)
{
  GType types[] = { GDK_TYPE_FILE_LIST, G_TYPE_FILE, GDK_TYPE_TEXTURE };
  GtkDropTarget *target = gtk_drop_target_new (G_TYPE_INVALID, GDK_ACTION_COPY);

  gtk_drop_target_set_gtypes (target, types, G_N_ELEMENTS (types));
  g_signal_connect (target, "drop", G_CALLBACK (dropped_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
}

static void
answered_cb (GtkNativeDialog *dialog, int response, TdWizardPhoto *self)
{
  g_autoptr (GFile) file = NULL;

  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  if (file != NULL)
    take_file (self, file);
  g_clear_object (&self->chooser);
}

static void
clicked_cb (GtkButton *button, TdWizardPhoto *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("Pictures"));
  gtk_file_filter_add_pixbuf_formats (filter);
  self->chooser = gtk_file_chooser_native_new (_ ("Choose a Picture"), GTK_WINDOW (root), GTK_FILE_CHOOSER_ACTION_OPEN,
                                               NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (answered_cb), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
td_wizard_photo_dispose (GObject *object)
{
  TdWizardPhoto *self = TD_WIZARD_PHOTO (object);

  g_clear_object (&self->chooser);
  forget (self);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_photo_parent_class)->dispose (object);
}

static gboolean
td_wizard_photo_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (TD_WIZARD_PHOTO (widget)->button);
}

static void
td_wizard_photo_class_init (TdWizardPhotoClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_photo_dispose;
  GTK_WIDGET_CLASS (klass)->grab_focus = td_wizard_photo_grab_focus;
  signals[SIGNAL_CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                          NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (klass), "photo.paste", NULL, paste_action);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_v, GDK_CONTROL_MASK, "photo.paste", NULL);
}

static void
td_wizard_photo_init (TdWizardPhoto *self)
{
  GtkWidget *buttons, *paste, *hint;

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  self->button = gtk_button_new_with_label (_ ("Choose a picture…"));
  self->picture = GTK_PICTURE (gtk_picture_new ());
  self->said = GTK_LABEL (gtk_label_new (NULL));
  gtk_widget_set_halign (self->button, GTK_ALIGN_START);
  gtk_widget_set_size_request (GTK_WIDGET (self->picture), -1, 160);
  gtk_widget_set_visible (GTK_WIDGET (self->picture), FALSE);
  gtk_picture_set_alternative_text (self->picture, _ ("The chosen picture"));
  gtk_label_set_xalign (self->said, 0);
  gtk_widget_add_css_class (GTK_WIDGET (self->said), "field-error");
  buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  paste = gtk_button_new_with_label (_ ("Paste"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (paste), "photo.paste");
  gtk_box_append (GTK_BOX (buttons), self->button);
  gtk_box_append (GTK_BOX (buttons), paste);
  gtk_box_append (GTK_BOX (self->box), buttons);
  hint = gtk_label_new (_ ("A picture can also be dropped here, or pasted with Ctrl+V."));
  gtk_label_set_xalign (GTK_LABEL (hint), 0);
  gtk_label_set_wrap (GTK_LABEL (hint), TRUE);
  gtk_widget_add_css_class (hint, "faint");
  gtk_box_append (GTK_BOX (self->box), hint);
  add_drop_target (self);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->picture));
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->said));
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  g_signal_connect_object (self->button, "clicked", G_CALLBACK (clicked_cb), self, 0);
}

GtkWidget *
td_wizard_photo_new (void)
{
  return g_object_new (TD_TYPE_WIZARD_PHOTO, NULL);
}

const char *
td_wizard_photo_get_path (TdWizardPhoto *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_PHOTO (self), NULL);
  return self->path;
}
