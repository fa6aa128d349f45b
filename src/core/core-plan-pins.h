/* core-plan-pins.h: what the technician has decided before the planner begins. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef enum
{
  TD_PIN_STATIC,      /* hold the line static */
  TD_PIN_LEAVE_OUT,   /* do not clean the line, or the side faucet, at all */
  TD_PIN_NO_REVERSAL, /* do not set the line's lever inwards */
  TD_PIN_STATION,     /* the cleaning pump stands at this tower or cooler, for every circuit */
  TD_PIN_CIRCUIT      /* run these lines as one circuit, whatever becomes of the rest */
} TdPinKind;

typedef struct
{
  TdPinKind kind;
  char **ids; /* one, or the lines of a circuit; NULL-terminated */
  char *text; /* as written: "static=L4", "circuit=L1,L2" */
} TdPin;

/* A list of pins.  Not shared between threads while it grows. */
typedef struct _TdPlanPins TdPlanPins;

TdPlanPins *td_plan_pins_new (void);
void td_plan_pins_free (TdPlanPins *pins);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanPins, td_plan_pins_free)

/* Adds "static=LINE", "leave-out=LINE", "no-reversal=LINE", "station=ID" or "circuit=LINE,LINE,...".
 * Returns FALSE with TD_ERROR_PARSE where the text is none of these. */
gboolean td_plan_pins_add_text (TdPlanPins *pins, const char *text, GError **error);
/* The same with the parts at hand; @ids: NULL-terminated, at least one. */
void td_plan_pins_add (TdPlanPins *pins, TdPinKind kind, const char *const *ids);

guint td_plan_pins_get_length (const TdPlanPins *pins);
/* Returns: (transfer none): the pin at @index. */
const TdPin *td_plan_pins_get (const TdPlanPins *pins, guint index);

/* "static", "leave-out", ... */
const char *td_pin_kind_to_text (TdPinKind kind);

G_END_DECLS
