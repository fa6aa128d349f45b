/* desk-begin-form.h: the form that begins a visit: who, what for, since when; its one act is the arrival. */
#pragma once

#include "core-masters.h"
#include "core-site.h"
#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_BEGIN_FORM (td_begin_form_get_type ())
/* Property "work" (string): "routine", "call-out", "re-clean", "amendment"; also as "begin.work".
 * Actions "begin.commit", "begin.give-up".
 * Signals: "begun" (string: id of the new visit), after the arrival is on disk; "given-up". */
G_DECLARE_FINAL_TYPE (TdBeginForm, td_begin_form, TD, BEGIN_FORM, GtkWidget)

GtkWidget *td_begin_form_new (void);
void td_begin_form_set_context (TdBeginForm *self, TdContext *context);
void td_begin_form_set_site (TdBeginForm *self, const char *site_id, TdSite *site, TdMasters *masters);
/* The visit that the new one stands for, NULL for none: its work is then "amendment". */
void td_begin_form_set_amends (TdBeginForm *self, const TdUuid *amends);
/* Made ready to be filled in: now, the person who wrote last, focus on the first field. */
void td_begin_form_start (TdBeginForm *self);

G_END_DECLS
