#include "core-plan-pins.h"

#include <string.h>

#include "core-error.h"

struct _TdPlanPins
{
  GPtrArray *pins; /* TdPin */
};

static const char *const kind_texts[] = {
  [TD_PIN_STATIC] = "static",           [TD_PIN_LEAVE_OUT] = "leave-out",
  [TD_PIN_NO_REVERSAL] = "no-reversal", [TD_PIN_STATION] = "station",
  [TD_PIN_CIRCUIT] = "circuit",
};

static void
free_pin (gpointer data)
{
  TdPin *pin = data;
  g_strfreev (pin->ids);
  g_free (pin->text);
  g_free (pin);
}

TdPlanPins *
td_plan_pins_new (void)
{
  TdPlanPins *pins = g_new0 (TdPlanPins, 1);
  pins->pins = g_ptr_array_new_with_free_func (free_pin);
  return pins;
}

void
td_plan_pins_free (TdPlanPins *pins)
{
  g_return_if_fail (pins != NULL);
  g_ptr_array_unref (pins->pins);
  g_free (pins);
}

void
td_plan_pins_add (TdPlanPins *pins, TdPinKind kind, const char *const *ids)
{
  g_return_if_fail (pins != NULL);
  g_return_if_fail (ids != NULL && ids[0] != NULL);

  TdPin *pin = g_new0 (TdPin, 1);
  g_autofree char *joined = g_strjoinv (",", (char **)ids);
  pin->kind = kind;
  pin->ids = g_strdupv ((char **)ids);
  pin->text = g_strconcat (kind_texts[kind], "=", joined, NULL);
  g_ptr_array_add (pins->pins, pin);
}

gboolean
td_plan_pins_add_text (TdPlanPins *pins, const char *text, GError **error)
{
  g_return_val_if_fail (pins != NULL && text != NULL, FALSE);

  const char *equals = strchr (text, '=');
  for (guint kind = 0; equals != NULL && equals[1] != '\0' && kind < G_N_ELEMENTS (kind_texts);
       kind++)
    {
      if (strlen (kind_texts[kind]) != (gsize)(equals - text)
          || strncmp (kind_texts[kind], text, (gsize)(equals - text)) != 0)
        continue;
      const char *single[] = { equals + 1, NULL };
      g_auto (GStrv) parts = g_strsplit (equals + 1, ",", -1);
      td_plan_pins_add (pins, kind, kind == TD_PIN_CIRCUIT ? (const char *const *)parts : single);
      return TRUE;
    }
  g_set_error (
      error, TD_ERROR, TD_ERROR_PARSE,
      "\"%s\" is no pin; write static=LINE, leave-out=LINE, no-reversal=LINE, station=ID or "
      "circuit=LINE,LINE,...",
      text);
  return FALSE;
}

guint
td_plan_pins_get_length (const TdPlanPins *pins)
{
  g_return_val_if_fail (pins != NULL, 0);
  return pins->pins->len;
}

const TdPin *
td_plan_pins_get (const TdPlanPins *pins, guint index)
{
  g_return_val_if_fail (pins != NULL && index < pins->pins->len, NULL);
  return g_ptr_array_index (pins->pins, index);
}

const char *
td_pin_kind_to_text (TdPinKind kind)
{
  g_return_val_if_fail ((guint)kind < G_N_ELEMENTS (kind_texts), NULL);
  return kind_texts[kind];
}
