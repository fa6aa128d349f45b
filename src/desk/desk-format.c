#include "desk-format.h"

#include "core-site.h"
#include "desk-i18n.h"
#include "core-rule.h"
#include "document-body.h"
#include "model-entry.h"
#include "model-round.h"

#include <langinfo.h>
#include <math.h>

static TdUnitStyle style = { .system = TD_UNITS_US, .decimal = '.' };

void
td_format_set_units (TdUnitSystem units)
{
  style.system = units;
  /* The decimal mark is that of the language the window speaks. */
  style.decimal = *nl_langinfo (RADIXCHAR) == ',' ? ',' : '.';
}

const TdUnitStyle *
td_format_get_style (void)
{
  return &style;
}

char *
td_format_date (gpointer object, int date)
{
  char text[64];
  GDate day;
  int year = 0, month = 0, day_of_month = 0;

  if (date == TD_DATE_NONE)
    return g_strdup ("");
  td_date_split (date, &year, &month, &day_of_month);
  if (year < 1 || year > 9999)
    return g_strdup ("");
  g_date_set_dmy (&day, (GDateDay) day_of_month, (GDateMonth) month, (GDateYear) year);
  /* Translators: a date as written in running text, see strftime(3). */
  g_date_strftime (text, sizeof text, _ ("%-d %b %Y"), &day);
  return g_strdup (text);
}

char *
td_format_due (gpointer object, int state, int days)
{
  switch ((TdRoundState) state)
    {
    case TD_ROUND_OPEN:
      return g_strdup (_ ("Visit open"));
    case TD_ROUND_OVERDUE:
      return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Overdue %d day", "Overdue %d days", (gulong) -days),
                              -days);
    case TD_ROUND_TODAY:
      return g_strdup (_ ("Due today"));
    case TD_ROUND_SOON:
    case TD_ROUND_LATER:
      return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Due in %d day", "Due in %d days", (gulong) days),
                              days);
    case TD_ROUND_UNKNOWN:
    default:
      return g_strdup (_ ("Nothing due"));
    }
}

char *
td_format_task (gpointer object, const char *task)
{
  static const struct
  {
    const char *task;
    const char *text;
  } tasks[] = {
    { "caustic", N_ ("Caustic clean") },
    { "acid", N_ ("Acid clean") },
    { "faucets", N_ ("Faucets to strip") },
    { "fob-coupler", N_ ("FOBs and couplers to strip") },
    { "hose", N_ ("Jumper hoses to renew") },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (tasks); i++)
    if (g_strcmp0 (task, tasks[i].task) == 0)
      return g_strdup (_ (tasks[i].text));
  return g_strdup (task != NULL ? task : "");
}

char *
td_format_task_line (gpointer object, const char *task, int last)
{
  g_autofree char *words = td_format_task (object, task);
  g_autofree char *date = td_format_date (object, last);

  if (*words == '\0')
    return g_strdup ("");
  if (*date == '\0')
    /* Translators: what is due and that it was never done before, "Caustic clean, first time". */
    return g_strdup_printf (_ ("%s, first time"), words);
  /* Translators: what is due and the date it was last done, "Caustic clean, last 2 Mar 2026". */
  return g_strdup_printf (_ ("%s, last %s"), words, date);
}

char *
td_format_round_note (gpointer object, guint missed, int moved_to, const char *reason)
{
  g_autofree char *times = NULL;
  g_autofree char *moved = NULL;
  g_autofree char *date = td_format_date (object, moved_to);

  if (missed == 1)
    times = g_strdup (_ ("Missed"));
  else if (missed > 1)
    times = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Missed %u time", "Missed %u times", missed), missed);
  if (*date != '\0')
    /* Translators: a planned visit was put off to that date. */
    moved = g_strdup_printf (_ ("Moved to %s"), date);
  if (times == NULL && moved == NULL)
    return g_strdup ("");
  if (times != NULL && moved != NULL)
    {
      g_autofree char *both = g_strdup_printf ("%s · %s", times, moved);

      return g_strdup_printf ("%s: %s", both, reason != NULL ? reason : "–");
    }
  return g_strdup_printf ("%s: %s", times != NULL ? times : moved, reason != NULL ? reason : "–");
}

static const char *const state_icons[] = {
  [TD_ROUND_OPEN] = "td-open-symbolic",   [TD_ROUND_OVERDUE] = "td-overdue-symbolic",
  [TD_ROUND_TODAY] = "td-today-symbolic", [TD_ROUND_SOON] = "td-soon-symbolic",
  [TD_ROUND_LATER] = "td-later-symbolic", [TD_ROUND_UNKNOWN] = "td-later-symbolic",
};

static const char *const state_classes[] = {
  [TD_ROUND_OPEN] = "open",   [TD_ROUND_OVERDUE] = "overdue", [TD_ROUND_TODAY] = "today",
  [TD_ROUND_SOON] = "soon",   [TD_ROUND_LATER] = "later",     [TD_ROUND_UNKNOWN] = "later",
};

char *
td_format_state_icon (gpointer object, int state)
{
  g_return_val_if_fail (state >= 0 && state < (int) G_N_ELEMENTS (state_icons), NULL);
  return g_strdup (state_icons[state]);
}

char **
td_format_state_classes (gpointer object, int state)
{
  g_return_val_if_fail (state >= 0 && state < (int) G_N_ELEMENTS (state_classes), NULL);
  return g_strdupv ((char **) (const char *[]) { "chip", state_classes[state], NULL });
}

char *
td_format_lines (gpointer object, guint lines)
{
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u line", "%u lines", lines), lines);
}

char *
td_format_pair (gpointer object, const char *a, const char *b)
{
  if (a == NULL || *a == '\0')
    return g_strdup (b != NULL ? b : "");
  if (b == NULL || *b == '\0')
    return g_strdup (a);
  return g_strconcat (a, " · ", b, NULL);
}

char *
td_format_length (gpointer object, double length_m)
{
  return isnan (length_m) ? g_strdup ("") : td_quantity_format (TD_QUANTITY_LENGTH, length_m, &style);
}

char *
td_format_volume (gpointer object, double volume_ml)
{
  return isnan (volume_ml) ? g_strdup ("") : td_quantity_format (TD_QUANTITY_VOLUME, volume_ml, &style);
}

char *
td_format_number (gpointer object, int number)
{
  return number == 0 ? g_strdup ("–") : g_strdup_printf ("%d", number);
}

char *
td_format_fittings (gpointer object, int pump, gboolean one_way, gboolean fob, gboolean side)
{
  const char *parts[5];
  guint n = 0;

  if (side)
    parts[n++] = _ ("Split");
  if (pump == TD_BEER_PUMP_REVERSIBLE)
    parts[n++] = _ ("Pump ⇅");
  else if (pump == TD_BEER_PUMP_ONE_WAY)
    parts[n++] = _ ("Pump ↑");
  else if (one_way)
    parts[n++] = _ ("Check ↑");
  if (fob)
    parts[n++] = _ ("FOB");
  parts[n] = NULL;
  return g_strjoinv (" · ", (char **) parts);
}

char *
td_format_visit_title (gpointer object, const char *number, gboolean closed, gboolean amended)
{
  if (!closed)
    return g_strdup (_ ("Open visit"));
  if (amended)
    /* Translators: a report number that a newer report stands for. */
    return g_strdup_printf (_ ("%s, amended"), number != NULL ? number : "");
  return g_strdup (number != NULL ? number : "");
}

char **
td_format_visit_classes (gpointer object, gboolean closed)
{
  return g_strdupv ((char **) (const char *[]) { closed ? "figure" : "chip", closed ? "strong" : "open", NULL });
}

char *
td_format_findings (gpointer object, guint stops, guint reasons, guint advice)
{
  g_autofree char *a
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u stop", "%u stops", stops), stops);
  g_autofree char *b = g_strdup_printf (
    g_dngettext (GETTEXT_PACKAGE, "%u to explain", "%u to explain", reasons), reasons);
  g_autofree char *c
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u advice", "%u advice", advice), advice);
  const char *parts[4];
  guint n = 0;

  if (stops > 0)
    parts[n++] = a;
  if (reasons > 0)
    parts[n++] = b;
  if (advice > 0)
    parts[n++] = c;
  parts[n] = NULL;
  return n > 0 ? g_strjoinv (" · ", (char **) parts) : g_strdup (_ ("Nothing found"));
}

static const struct
{
  const char *icon;
  const char *style_class;
  const char *text;
} severities[] = {
  [TD_SEVERITY_STOP] = { "td-stop-symbolic", "stop", N_ ("Stop") },
  [TD_SEVERITY_REASON] = { "td-reason-symbolic", "reason", N_ ("To explain") },
  [TD_SEVERITY_ADVICE] = { "td-advice-symbolic", "advice", N_ ("Advice") },
};

char *
td_format_severity_icon (gpointer object, int severity)
{
  g_return_val_if_fail (severity >= 0 && severity < (int) G_N_ELEMENTS (severities), NULL);
  return g_strdup (severities[severity].icon);
}

char **
td_format_severity_classes (gpointer object, int severity)
{
  g_return_val_if_fail (severity >= 0 && severity < (int) G_N_ELEMENTS (severities), NULL);
  return g_strdupv ((char **) (const char *[]) { "severity", severities[severity].style_class, NULL });
}

char *
td_format_finding_title (gpointer object, int severity, const char *place)
{
  g_return_val_if_fail (severity >= 0 && severity < (int) G_N_ELEMENTS (severities), NULL);
  return td_format_pair (object, _ (severities[severity].text), place);
}

char *
td_format_finding_text (gpointer object, const char *code, const char *text)
{
  TdRuleId rule;
  const char *sentence, *translated;

  if (text == NULL || code == NULL || !td_rule_find (code, &rule))
    return g_strdup (text != NULL ? text : "");
  sentence = td_rule_get_info (rule)->text;
  translated = _ (sentence);
  return translated == sentence ? g_strdup (text) : g_strdup_printf ("%s\n%s", translated, text);
}

char *
td_format_reason (gpointer object, const char *reason)
{
  /* Translators: the reason that was given for a finding. */
  return g_strdup_printf (_ ("Because: %s"), reason != NULL ? reason : "");
}

char *
td_format_entry_title (gpointer object, const char *title, gboolean corrected, gboolean voided)
{
  const char *words = title != NULL ? _ (title) : "";

  if (voided)
    /* Translators: an act that was entered by mistake and does not count. */
    return g_strdup_printf (_ ("%s, taken back"), words);
  if (corrected)
    return g_strdup_printf (_ ("%s, corrected"), words);
  return g_strdup (words);
}

char *
td_format_entry_detail (gpointer object, gpointer item)
{
  const TdEntry *entry;

  if (item == NULL)
    return g_strdup ("");
  entry = td_entry_item_get_entry (item);
  return td_body_to_words (td_entry_item_get_visit (item), entry->envelope.kind, entry->body, style.system);
}

char *
td_format_late (gpointer object, gint64 late_s)
{
  int minutes = (int) MIN (late_s / 60, G_MAXINT);

  if (minutes <= 0)
    return g_strdup ("");
  if (minutes < 60)
    return g_strdup_printf (_ ("written down %d min later"), minutes);
  if (minutes < 24 * 60)
    return g_strdup_printf (_ ("written down %d h %02d min later"), minutes / 60, minutes % 60);
  return g_strdup_printf (_ ("written down %d d %d h later"), minutes / (24 * 60), minutes / 60 % 24);
}

gboolean
td_format_has_text (gpointer object, const char *text)
{
  return text != NULL && *text != '\0';
}

void
td_format_bind (GtkWidgetClass *klass)
{
  static const struct
  {
    const char *name;
    GCallback function;
  } closures[] = {
#define CLOSURE(name) { #name, G_CALLBACK (name) }
    CLOSURE (td_format_date),         CLOSURE (td_format_due),           CLOSURE (td_format_task_line),
    CLOSURE (td_format_task),         CLOSURE (td_format_state_icon),    CLOSURE (td_format_state_classes),
    CLOSURE (td_format_lines),        CLOSURE (td_format_pair),          CLOSURE (td_format_length),
    CLOSURE (td_format_volume),       CLOSURE (td_format_number),        CLOSURE (td_format_fittings),
    CLOSURE (td_format_visit_title),  CLOSURE (td_format_visit_classes), CLOSURE (td_format_findings),      CLOSURE (td_format_has_text),
    CLOSURE (td_format_severity_icon), CLOSURE (td_format_severity_classes),
    CLOSURE (td_format_finding_title), CLOSURE (td_format_finding_text), CLOSURE (td_format_reason), CLOSURE (td_format_entry_title),
    CLOSURE (td_format_entry_detail), CLOSURE (td_format_late),         CLOSURE (td_format_round_note),
#undef CLOSURE
  };

  for (gsize i = 0; i < G_N_ELEMENTS (closures); i++)
    gtk_widget_class_bind_template_callback_full (klass, closures[i].name, closures[i].function);
}
