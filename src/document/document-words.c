#include "document-words.h"

#include "document-i18n.h"

typedef struct
{
  const char *code;
  const char *word;
} Word;

/* Sorted by code, for bisection; a test holds the order. */
static const Word words[] = {
  { "absent", N_ ("absent") },
  { "accepted", N_ ("as proposed") },
  { "acid", N_ ("acid") },
  { "advice", N_ ("advice") },
  { "advisory", N_ ("advisory") },
  { "all-lines", N_ ("all lines") },
  { "amendment", N_ ("amendment") },
  { "balance-pressure", N_ ("balance: pressure") },
  { "balance-restriction", N_ ("balance: restriction") },
  { "balance-temperature", N_ ("balance: temperature") },
  { "beer", N_ ("beer") },
  { "beer-pump", N_ ("beer pump") },
  { "blend", N_ ("blended gas") },
  { "blocked", N_ ("blocked") },
  { "call-out", N_ ("call-out") },
  { "carried-away", N_ ("carried away") },
  { "caustic", N_ ("caustic") },
  { "circulating", N_ ("circulating") },
  { "clear", N_ ("clear") },
  { "cold-room", N_ ("cold room") },
  { "cooling", N_ ("cooling") },
  { "drained", N_ ("drained") },
  { "drops", N_ ("drop test") },
  { "empty", N_ ("empty") },
  { "equipment", N_ ("equipment") },
  { "estimated", N_ ("estimated") },
  { "exposure", N_ ("Somebody was exposed to chemical") },
  { "faucet", N_ ("faucet ends") },
  { "faucet-removed", N_ ("faucet removed") },
  { "flat", N_ ("flat") },
  { "foaming", N_ ("foaming") },
  { "full", N_ ("full") },
  { "gas", N_ ("gas") },
  { "hand", N_ ("made by hand") },
  { "handle-removed", N_ ("handle removed") },
  { "heavy", N_ ("heavy") },
  { "high", N_ ("high") },
  { "holding", N_ ("still holding chemical") },
  { "hydrometer", N_ ("hydrometer") },
  { "in", N_ ("in") },
  { "informed", N_ ("received and informed") },
  { "intermittent", N_ ("intermittent") },
  { "jumper", N_ ("jumper") },
  { "keg", N_ ("keg") },
  { "leak", N_ ("leak") },
  { "lock", N_ ("lock") },
  { "manifold", N_ ("manifold") },
  { "measured", N_ ("measured") },
  { "nearly-empty", N_ ("nearly empty") },
  { "neutralised", N_ ("neutralised, then drained") },
  { "no", N_ ("no") },
  { "no-beer", N_ ("no beer") },
  { "no-instrument", N_ ("no instrument") },
  { "nobody-present", N_ ("nobody present") },
  { "none", N_ ("none") },
  { "normal", N_ ("normal") },
  { "not-started", N_ ("not begun") },
  { "off", N_ ("off") },
  { "off-taste", N_ ("off-taste") },
  { "on", N_ ("on") },
  { "one-line", N_ ("one line") },
  { "other", N_ ("other") },
  { "out", N_ ("out") },
  { "outlet", N_ ("outlet") },
  { "part", N_ ("part full") },
  { "planner", N_ ("made by the planner") },
  { "power", N_ ("power") },
  { "quality", N_ ("quality") },
  { "re-clean", N_ ("clean again") },
  { "reason", N_ ("reason") },
  { "refractometer", N_ ("refractometer") },
  { "refused", N_ ("refused") },
  { "rinsed", N_ ("rinsed") },
  { "routine", N_ ("routine clean") },
  { "safety", N_ ("safety") },
  { "served", N_ ("Chemical was served to somebody") },
  { "sewer", N_ ("sewer") },
  { "slow", N_ ("slow") },
  { "solution", N_ ("solution") },
  { "some", N_ ("some") },
  { "spill", N_ ("Chemical was spilled") },
  { "static", N_ ("static") },
  { "stop", N_ ("stop") },
  { "stops-service", N_ ("stops service") },
  { "strip", N_ ("strip") },
  { "tag", N_ ("tag") },
  { "tap", N_ ("tap water") },
  { "tight", N_ ("tight") },
  { "titration", N_ ("titration") },
  { "warm", N_ ("warm") },
  { "water", N_ ("water") },
  { "work-done", N_ ("work done") },
  { "yes", N_ ("yes") },
};

static const Word fields[] = {
  { "absent_verified", N_ ("owner verified absent") },
  { "access", N_ ("way in and out") },
  { "action", N_ ("done about it") },
  { "amends", N_ ("amends visit") },
  { "apron", N_ ("apron") },
  { "at", N_ ("on") },
  { "batch", N_ ("mix") },
  { "cause", N_ ("cause") },
  { "certificate_sha256", N_ ("certificate") },
  { "circuit", N_ ("circuit") },
  { "co2", N_ ("CO2") },
  { "co2_ppm", N_ ("CO2") },
  { "concentrate_ml", N_ ("concentrate") },
  { "condition", N_ ("state") },
  { "contact_tried", N_ ("contact tried") },
  { "crew", N_ ("crew") },
  { "debris", N_ ("debris") },
  { "direction", N_ ("direction") },
  { "drain", N_ ("to") },
  { "eyes", N_ ("eye protection") },
  { "flow_ml_min", N_ ("flow") },
  { "follow_up", N_ ("we come back") },
  { "gloves", N_ ("gloves") },
  { "handed_to", N_ ("handed to") },
  { "keg", N_ ("keg") },
  { "legend", N_ ("legend") },
  { "lever", N_ ("lever") },
  { "lost_ml", N_ ("beer lost") },
  { "lot", N_ ("lot") },
  { "minutes", N_ ("minutes planned") },
  { "out_of_hours", N_ ("out of hours") },
  { "percent_milli", N_ ("strength") },
  { "ph_milli", N_ ("pH") },
  { "quantity", N_ ("quantity") },
  { "quote_wanted", N_ ("price wanted") },
  { "reason", N_ ("reason") },
  { "sds_at_hand", N_ ("SDS at hand") },
  { "sha256", N_ ("picture") },
  { "shut", N_ ("faucet shut") },
  { "site", N_ ("site") },
  { "tag", N_ ("tag") },
  { "to", N_ ("to") },
  { "told_before_return", N_ ("told before return") },
  { "void", N_ ("void") },
  { "volume_ml", N_ ("volume") },
  { "water_ml", N_ ("water") },
  { "why", N_ ("why") },
};

static const char *
look_up (const Word *table, guint n, const char *code)
{
  guint low = 0, high = n;

  while (low < high)
    {
      guint middle = (low + high) / 2;
      int order = g_strcmp0 (code, table[middle].code);

      if (order == 0)
        return table[middle].word;
      if (order < 0)
        high = middle;
      else
        low = middle + 1;
    }
  return NULL;
}

const char *
td_word (const char *code)
{
  const char *word;

  if (code == NULL)
    return "\xe2\x80\x93";
  word = look_up (words, G_N_ELEMENTS (words), code);
  return word != NULL ? _ (word) : code;
}

const char *
td_field_name (const char *key)
{
  const char *word = look_up (fields, G_N_ELEMENTS (fields), key);

  return word != NULL ? _ (word) : NULL;
}

char *
td_word_capital (const char *code)
{
  const char *word = td_word (code), *rest = g_utf8_next_char (word);
  g_autofree char *first = g_utf8_strup (word, rest - word);

  return g_strconcat (first, rest, NULL);
}

const char *
td_document_language (void)
{
  /* TRANSLATORS: the language tag (BCP 47) of this translation: "en", "de", "pt-BR". */
  return _ ("en");
}

char *
td_document_period (TdDate from, TdDate to)
{
  g_autofree char *first = td_date_to_text (from);
  g_autofree char *last = td_date_to_text (to);

  return g_strdup_printf (_ ("%s to %s"), first, last);
}
