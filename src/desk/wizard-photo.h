/* wizard-photo.h: choosing a picture, made small and stripped of everything but itself. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_PHOTO (td_wizard_photo_get_type ())
/* Signal "changed": another picture was chosen. */
G_DECLARE_FINAL_TYPE (TdWizardPhoto, td_wizard_photo, TD, WIZARD_PHOTO, GtkWidget)

GtkWidget *td_wizard_photo_new (void);
/* Takes the picture at @path: turned as its camera says, at most 1600 px, JPEG of at most
 * TD_ATTACHMENT_MAX bytes without metadata. Returns FALSE with a GError where it is none. */
gboolean td_wizard_photo_take (TdWizardPhoto *self, const char *path, GError **error);
/* The same of a picture that was pasted or dropped. */
gboolean td_wizard_photo_take_texture (TdWizardPhoto *self, GdkTexture *texture, GError **error);
/* Path of the small picture, removed when the widget dies; NULL: none yet. */
const char *td_wizard_photo_get_path (TdWizardPhoto *self);

G_END_DECLS
