/* Agreements and works against invoices that were worked out by hand; the arithmetic stands above each.
 *
 * Expected, one line an invoice: PAYER [MONTH or REPORT]: lines "item QUANTITYxPRICE=NET CATEGORY RATE" with
 * quantities and rates in whole units where they are whole; then "|", the taxes "CATEGORY RATE of BASE = TAX";
 * then "|", the total.  Amounts in minor units. */
#include "core-agreement.h"
#include "core-drafting.h"
#include "core-error.h"
#include "core-invoice-json.h"
#include "core-invoice.h"
#include "core-work.h"

#include <string.h>

#define HEAD "\"format\":\"tundish-agreement/1\",\"account\":\"A\",\"from\":\"2026-01-01\",\"currency\":\"EUR\","
#define HEAD_IN(currency) \
  "\"format\":\"tundish-agreement/1\",\"account\":\"A\",\"from\":\"2026-01-01\",\"currency\":\"" currency "\","
#define OWNER "{\"id\":\"owner\",\"name\":\"Owner\",\"address\":\"1 Quay\",\"tax_id\":\"XX1\"}"
#define BREWERY "{\"id\":\"brewery\",\"name\":\"Brewery\",\"address\":\"2 Mill\",\"tax_id\":\"YY2\"}"
#define DISTRIBUTOR "{\"id\":\"dist\",\"name\":\"Distributor\",\"address\":\"3 Yard\"}"
#define ONE "\"payers\":[" OWNER "],"
#define TWO "\"payers\":[" OWNER "," BREWERY "],"
#define S(rate) "{\"category\":\"S\",\"percent_milli\":" #rate "}"
#define S23 "\"taxes\":[" S (23000) "]"

/* Works: visits parted by ";;", each "REPORT DATE KIND MINUTES [ooh]" then parts after ";":
 *   line ID TOWER clean method | part QUANTITY LINE(or -) NAME | chem PRODUCT ML
 *   or "month DATE MADE" for a month of a contract. */
typedef struct
{
  const char *name;
  const char *agreement;
  const char *works;
  const char *expected;
} Case;

#define TWO_LINES "; line L1 TA caustic circulating; line L2 TA caustic circulating"

static const Case cases[] = {
  /* 2 lines x 12.50 = 25.00; 23 % of 25.00 = 5.75; 30.75 */
  { "per line", "{" HEAD ONE "\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 S 23; line 1x1250=1250 S 23 | S 23 of 2500 = 575 | 3075" },
  /* visit 40.00 + one tower 10.00, both lines at the one tower: 50.00; 23 % = 11.50; 61.50 */
  { "per visit and tower", "{" HEAD ONE "\"prices\":{\"visit_minor\":4000,\"tower_minor\":1000}," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: visit 1x4000=4000 S 23; tower 1x1000=1000 S 23 | S 23 of 5000 = 1150 | 6150" },
  /* two towers at 10.00 = 20.00; 4.60; 24.60 */
  { "two towers", "{" HEAD ONE "\"prices\":{\"tower_minor\":1000}," S23 "}",
    "R1 2026-03-02 routine 60; line L1 TA caustic circulating; line L2 TB caustic static; line L3 TB caustic static",
    "owner 2026-03: tower 1x1000=1000 S 23; tower 1x1000=1000 S 23 | S 23 of 2000 = 460 | 2460" },
  /* caustic circulating 10.00, static 13.00, acid 15.00: 10 + 13 + 15 = 38.00; 8.74; 46.74 */
  { "by clean and method",
    "{" HEAD ONE "\"lines\":[{\"unit_minor\":1500,\"clean\":\"acid\"},{\"unit_minor\":1300,\"method\":\"static\"},"
    "{\"unit_minor\":1000}]," S23 "}",
    "R1 2026-03-02 routine 60; line L1 TA caustic circulating; line L1 TA acid static; line L2 TA caustic static",
    "owner 2026-03: line 1x1000=1000 S 23; line 1x1500=1500 S 23; line 1x1300=1300 S 23 | S 23 of 3800 = 874 | 4674" },
  /* L2 has a price of its own, 7.77: 10.00 + 7.77 = 17.77; 23 % = 4.0871 -> 4.09; 21.86 */
  { "a line's own price", "{" HEAD ONE "\"lines\":[{\"unit_minor\":777,\"lines\":[\"L2\"]},{\"unit_minor\":1000}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1000=1000 S 23; line 1x777=777 S 23 | S 23 of 1777 = 409 | 2186" },
  /* 2 x 12.50 = 25.00, minimum 60.00: 35.00 more; 60.00; 13.80; 73.80 */
  { "minimum", "{" HEAD ONE "\"prices\":{\"minimum_minor\":6000},\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 S 23; line 1x1250=1250 S 23; minimum 1x3500=3500 S 23 | S 23 of 6000 = 1380 | 7380" },
  /* just reached: 25.00 = 25.00, nothing more */
  { "minimum reached", "{" HEAD ONE "\"prices\":{\"minimum_minor\":2500},\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 S 23; line 1x1250=1250 S 23 | S 23 of 2500 = 575 | 3075" },
  /* a part does not count for the minimum: 25.00 + 35.00 + 2 x 3.10 = 66.20; 15.226 -> 15.23; 81.43 */
  { "minimum is of services",
    "{" HEAD ONE "\"prices\":{\"minimum_minor\":6000},\"lines\":[{\"unit_minor\":1250}],"
    "\"parts\":[{\"part\":\"washer\",\"unit_minor\":310}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES "; part 2 L1 Washer",
    "owner 2026-03: line 1x1250=1250 S 23; line 1x1250=1250 S 23; minimum 1x3500=3500 S 23; part 2x310=620 S 23"
    " | S 23 of 6620 = 1523 | 8143" },
  /* call-out 75.00 + visit 20.00 = 95.00; 21.85; 116.85 */
  { "call-out", "{" HEAD ONE "\"prices\":{\"visit_minor\":2000,\"call_out_minor\":7500}," S23 "}",
    "R1 2026-03-02 call-out 30",
    "owner 2026-03: visit 1x2000=2000 S 23; call-out 1x7500=7500 S 23 | S 23 of 9500 = 2185 | 11685" },
  /* 95 minutes, 60 included: 35 x 0.85 = 29.75; with the visit 20.00: 49.75; 11.4425 -> 11.44; 61.19 */
  { "minutes beyond",
    "{" HEAD ONE "\"prices\":{\"visit_minor\":2000,\"included_minutes\":60,\"minute_minor\":85}," S23 "}",
    "R1 2026-03-02 routine 95",
    "owner 2026-03: visit 1x2000=2000 S 23; minutes 35x85=2975 S 23 | S 23 of 4975 = 1144 | 6119" },
  /* exactly what is included: the visit alone */
  { "minutes included",
    "{" HEAD ONE "\"prices\":{\"visit_minor\":2000,\"included_minutes\":60,\"minute_minor\":85}," S23 "}",
    "R1 2026-03-02 routine 60", "owner 2026-03: visit 1x2000=2000 S 23 | S 23 of 2000 = 460 | 2460" },
  /* 25.00 + 50 % of 25.00 = 12.50 + fixed 30.00 = 67.50; 15.525 -> 15.53; 83.03 */
  { "out of hours",
    "{" HEAD ONE "\"prices\":{\"out_of_hours_percent_milli\":50000,\"out_of_hours_minor\":3000},"
    "\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60 ooh" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 S 23; line 1x1250=1250 S 23; out-of-hours 1x1250=1250 S 23; "
    "out-of-hours 1x3000=3000 S 23 | S 23 of 6750 = 1553 | 8303" },
  /* 3 x 3.33 = 9.99; 12.5 % = 1.24875 -> 1.25; 8.74; 23 % = 2.0102 -> 2.01; 10.75 */
  { "discount",
    "{" HEAD ONE "\"prices\":{\"discount_percent_milli\":12500},\"lines\":[{\"unit_minor\":333}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES "; line L3 TA caustic static",
    "owner 2026-03: line 1x333=333 S 23; line 1x333=333 S 23; line 1x333=333 S 23; discount -1x125=-125 S 23"
    " | S 23 of 874 = 201 | 1075" },
  /* 535 mL at 6.40/L + 15 % = 7.36/L: 0.535 x 7.36 = 3.9376 -> 3.94; 0.9062 -> 0.91; 4.85 */
  { "chemical",
    "{" HEAD ONE "\"prices\":{\"chemical_markup_percent_milli\":15000},"
    "\"chemicals\":[{\"product\":\"lye\",\"cost_l_minor\":640}]," S23 "}",
    "R1 2026-03-02 routine 60; chem lye 500; chem lye 35; chem acid 200",
    "owner 2026-03: chemical 0.535x736=394 S 23 | S 23 of 394 = 91 | 485" },
  /* 6.45 + 12.5 % = 7.25625 -> 7.26 a litre; 0.250 x 7.26 = 1.815 -> 1.82; 0.4186 -> 0.42; 2.24 */
  { "chemical, both rounded away from zero",
    "{" HEAD ONE "\"prices\":{\"chemical_markup_percent_milli\":12500},"
    "\"chemicals\":[{\"product\":\"lye\",\"cost_l_minor\":645}]," S23 "}",
    "R1 2026-03-02 routine 60; chem lye 250",
    "owner 2026-03: chemical 0.25x726=182 S 23 | S 23 of 182 = 42 | 224" },
  /* services 13.5 %, parts 23 %: 25.00 -> 3.375 -> 3.38; 4 x 2.45 = 9.80 -> 2.254 -> 2.25; 34.80 + 5.63 = 40.43 */
  { "service and part taxed apart",
    "{" HEAD ONE "\"lines\":[{\"unit_minor\":1250}],\"parts\":[{\"part\":\"washer\",\"unit_minor\":245}],"
    "\"taxes\":[{\"category\":\"S\",\"percent_milli\":23000,\"for\":[\"part\",\"chemical\"]}," S (13500) "]}",
    "R1 2026-03-02 routine 60" TWO_LINES "; part 4 - washer",
    "owner 2026-03: line 1x1250=1250 S 13.5; line 1x1250=1250 S 13.5; part 4x245=980 S 23"
    " | S 23 of 980 = 225; S 13.5 of 2500 = 338 | 4043" },
  /* tax on the sum, not on each: 3 x 0.33 = 0.99; 19 % = 0.1881 -> 0.19 (each alone 0.0627 -> 0.06, 0.18); 1.18 */
  { "tax on the total", "{" HEAD ONE "\"lines\":[{\"unit_minor\":33}],\"taxes\":[" S (19000) "]}",
    "R1 2026-03-02 routine 60" TWO_LINES "; line L3 TA caustic static",
    "owner 2026-03: line 1x33=33 S 19; line 1x33=33 S 19; line 1x33=33 S 19 | S 19 of 99 = 19 | 118" },
  /* the half: 5 % of 0.50 = 0.025 -> 0.03; 0.53 */
  { "half away from zero", "{" HEAD ONE "\"prices\":{\"visit_minor\":50},\"taxes\":[" S (5000) "]}",
    "R1 2026-03-02 routine 60", "owner 2026-03: visit 1x50=50 S 5 | S 5 of 50 = 3 | 53" },
  /* exempt: 25.00, no tax */
  { "exempt",
    "{" HEAD ONE "\"lines\":[{\"unit_minor\":1250}],"
    "\"taxes\":[{\"category\":\"E\",\"percent_milli\":0,\"text\":\"Exempt, small trader\"}]}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 E 0; line 1x1250=1250 E 0 | E 0 of 2500 = 0 (Exempt, small trader) | 2500" },
  /* zero rated: 25.00 */
  { "zero rated", "{" HEAD ONE "\"lines\":[{\"unit_minor\":1250}],\"taxes\":[{\"category\":\"Z\",\"percent_milli\":0}]}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "owner 2026-03: line 1x1250=1250 Z 0; line 1x1250=1250 Z 0 | Z 0 of 2500 = 0 | 2500" },
  /* brewery abroad pays acid by reverse charge: 15.00 without tax; the owner 10.00 + 2.30 = 12.30 */
  { "reverse charge, payer by clean",
    "{" HEAD TWO "\"payer_rules\":[{\"payer\":\"brewery\",\"clean\":\"acid\"}],"
    "\"lines\":[{\"unit_minor\":1500,\"clean\":\"acid\"},{\"unit_minor\":1000}],"
    "\"taxes\":[{\"category\":\"AE\",\"percent_milli\":0,\"payer\":\"brewery\",\"text\":\"Reverse charge\"}," S (23000) "]}",
    "R1 2026-03-02 routine 60; line L1 TA caustic circulating; line L1 TA acid circulating",
    "brewery 2026-03: line 1x1500=1500 AE 0 | AE 0 of 1500 = 0 (Reverse charge) | 1500\n"
    "owner 2026-03: line 1x1000=1000 S 23 | S 23 of 1000 = 230 | 1230" },
  /* L2 is the brewery's: each 12.50, 2.875 -> 2.88; 15.38; the discount of 10 % (1.25) by payer:
   * 12.50 - 1.25 = 11.25; 2.5875 -> 2.59; 13.84 each */
  { "payer by line, discount apart",
    "{" HEAD TWO "\"payer_rules\":[{\"payer\":\"brewery\",\"lines\":[\"L2\"]}],"
    "\"prices\":{\"discount_percent_milli\":10000},\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES,
    "brewery 2026-03: line 1x1250=1250 S 23; discount -1x125=-125 S 23 | S 23 of 1125 = 259 | 1384\n"
    "owner 2026-03: line 1x1250=1250 S 23; discount -1x125=-125 S 23 | S 23 of 1125 = 259 | 1384" },
  /* the distributor pays call-outs, the owner the part: 75.00 + 17.25 = 92.25; 3.10 + 0.713 -> 0.71 = 3.81 */
  { "payer by kind of work",
    "{" HEAD "\"payers\":[" OWNER "," DISTRIBUTOR "],"
    "\"payer_rules\":[{\"payer\":\"owner\",\"for\":[\"part\"]},{\"payer\":\"dist\",\"work\":\"call-out\"}],"
    "\"prices\":{\"call_out_minor\":7500},\"parts\":[{\"part\":\"washer\",\"unit_minor\":310}]," S23 "}",
    "R1 2026-03-02 call-out 30; part 1 - washer",
    "dist 2026-03: call-out 1x7500=7500 S 23 | S 23 of 7500 = 1725 | 9225\n"
    "owner 2026-03: part 1x310=310 S 23 | S 23 of 310 = 71 | 381" },
  /* a re-clean costs nothing, and says so */
  { "no charge",
    "{" HEAD ONE "\"no_charge\":[{\"work\":\"re-clean\",\"reason\":\"Cleaned again, our fault\"}],"
    "\"prices\":{\"minimum_minor\":6000},\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 re-clean 60" TWO_LINES, "owner 2026-03: no-charge 1x0=0 S 23 | S 23 of 0 = 0 | 0" },
  /* the lines are free, a part is not: 3.10; 0.71; 3.81 */
  { "no charge for lines only",
    "{" HEAD ONE "\"no_charge\":[{\"work\":\"re-clean\",\"reason\":\"Again\",\"for\":[\"line\"]}],"
    "\"parts\":[{\"part\":\"washer\",\"unit_minor\":310}],\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 re-clean 60" TWO_LINES "; part 1 L1 washer",
    "owner 2026-03: no-charge 1x0=0 S 23; part 1x310=310 S 23 | S 23 of 310 = 71 | 381" },
  /* flat 200.00 for 2 visits, one missed at 80.00: 120.00; 27.60; 147.60; the visit itself is covered */
  { "contract with a missed visit",
    "{" HEAD ONE "\"contract\":{\"monthly_minor\":20000,\"visits\":2,\"missed_minor\":8000},"
    "\"lines\":[{\"unit_minor\":1250}]," S23 "}",
    "R1 2026-03-02 routine 60" TWO_LINES ";; month 2026-03-01 1",
    "owner 2026-03: no-charge 1x0=0 S 23; contract 1x20000=20000 S 23; contract -1x8000=-8000 S 23"
    " | S 23 of 12000 = 2760 | 14760" },
  /* call-outs are not covered: 75.00; flat 200.00, nothing missed; 275.00; 63.25; 338.25 */
  { "contract and a call-out",
    "{" HEAD ONE "\"contract\":{\"monthly_minor\":20000,\"visits\":1},\"prices\":{\"call_out_minor\":7500}," S23 "}",
    "R1 2026-03-09 call-out 60;; month 2026-03-01 1",
    "owner 2026-03: call-out 1x7500=7500 S 23; contract 1x20000=20000 S 23 | S 23 of 27500 = 6325 | 33825" },
  /* both months apart: 40.00 + 9.20 = 49.20 each; two visits in March: 80.00 + 18.40 = 98.40 */
  { "by month", "{" HEAD ONE "\"prices\":{\"visit_minor\":4000}," S23 "}",
    "R1 2026-03-02 routine 60;; R2 2026-03-16 routine 60;; R3 2026-04-01 routine 60",
    "owner 2026-03: visit 1x4000=4000 S 23; visit 1x4000=4000 S 23 | S 23 of 8000 = 1840 | 9840\n"
    "owner 2026-04: visit 1x4000=4000 S 23 | S 23 of 4000 = 920 | 4920" },
  /* each visit by itself */
  { "by visit", "{" HEAD ONE "\"collect\":\"visit\",\"prices\":{\"visit_minor\":4000}," S23 "}",
    "R1 2026-03-02 routine 60;; R2 2026-03-16 routine 60",
    "owner 2026-03: visit 1x4000=4000 S 23 | S 23 of 4000 = 920 | 4920\n"
    "owner 2026-03: visit 1x4000=4000 S 23 | S 23 of 4000 = 920 | 4920" },
  /* yen have no decimals: 1 x 1,255; 10 % = 125.5 -> 126; 1,381 */
  { "yen", "{" HEAD_IN ("JPY") ONE "\"prices\":{\"visit_minor\":1255},\"taxes\":[" S (10000) "]}",
    "R1 2026-03-02 routine 60", "owner 2026-03: visit 1x1255=1255 S 10 | S 10 of 1255 = 126 | 1381" },
  /* dinars have three: 12.345; 5 % = 0.61725 -> 0.617; 12.962 */
  { "Kuwaiti dinar", "{" HEAD_IN ("KWD") ONE "\"prices\":{\"visit_minor\":12345},\"taxes\":[" S (5000) "]}",
    "R1 2026-03-02 routine 60", "owner 2026-03: visit 1x12345=12345 S 5 | S 5 of 12345 = 617 | 12962" },
  /* another site, another rate: 20.00 at 23 % = 4.60 and 20.00 at 20 % = 4.00; 48.60 */
  { "tax by place",
    "{" HEAD ONE "\"prices\":{\"visit_minor\":2000},"
    "\"taxes\":[{\"category\":\"S\",\"percent_milli\":20000,\"sites\":[\"s2\"]}," S (23000) "]}",
    "R1 2026-03-02 routine 60;; R2@s2 2026-03-03 routine 60",
    "owner 2026-03: visit 1x2000=2000 S 23; visit 1x2000=2000 S 20 | S 23 of 2000 = 460; S 20 of 2000 = 400 | 4860" },
  /* nothing done, nothing agreed: the visit stands there with 0 */
  { "nothing to charge", "{" HEAD ONE "\"lines\":[{\"unit_minor\":1250}]," S23 "}", "R1 2026-03-02 routine 60",
    "owner 2026-03: no-charge 1x0=0 S 23 | S 23 of 0 = 0 | 0" },
};

static TdAgreement *
read_agreement (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  TdAgreement *agreement = json != NULL ? td_agreement_from_json (json, &error) : NULL;

  g_assert_no_error (error);
  return agreement;
}

static void
add_fact (TdWork *work, const char *fact)
{
  char *text = g_strdup (fact);
  g_auto (GStrv) words = g_strsplit (g_strstrip (text), " ", 5);

  g_free (text);
  if (strcmp (words[0], "line") == 0)
    td_work_add_line (work, words[1], words[1], words[2], words[2],
                      strcmp (words[3], "acid") == 0 ? TD_CLEAN_ACID : TD_CLEAN_CAUSTIC,
                      strcmp (words[4], "static") == 0 ? TD_METHOD_STATIC : TD_METHOD_CIRCULATING);
  else if (strcmp (words[0], "part") == 0)
    td_work_add_part (work, words[3], strcmp (words[2], "-") != 0 ? words[2] : NULL, NULL,
                      g_ascii_strtoll (words[1], NULL, 10));
  else
    td_work_add_chemical (work, words[1], NULL, g_ascii_strtoll (words[2], NULL, 10));
}

static TdWork *
read_work (const char *text, guint n)
{
  g_auto (GStrv) facts = g_strsplit (text, ";", -1);
  g_auto (GStrv) head = g_strsplit (g_strstrip (facts[0]), " ", -1);
  g_auto (GStrv) name = g_strsplit (head[0], "@", 2);
  guint8 chance[10] = { 0 };
  TdUuid id;
  TdDate date = 0;
  TdWork *work;

  chance[9] = (guint8) n;
  id = td_uuid_make_v7 (1, chance);
  g_assert_true (td_date_parse (head[1], &date, NULL));
  work = td_work_new_empty (&id, name[0], name[1] != NULL ? name[1] : "s1", NULL, date, head[2]);
  work->minutes = g_ascii_strtoll (head[3], NULL, 10);
  work->out_of_hours = head[4] != NULL;
  for (guint i = 1; facts[i] != NULL; i++)
    add_fact (work, facts[i]);
  return work;
}

/* Prices everything; FALSE with the error of the first that cannot be. */
static gboolean
add_all (TdDrafting *drafting, const TdAgreement *agreement, const char *works, GError **error)
{
  g_auto (GStrv) texts = g_strsplit (works, ";;", -1);

  for (guint i = 0; texts[i] != NULL; i++)
    {
      char *text = g_strstrip (texts[i]);

      if (g_str_has_prefix (text, "month "))
        {
          g_auto (GStrv) words = g_strsplit (text, " ", 3);
          TdDate month = 0;

          g_assert_true (td_date_parse (words[1], &month, NULL));
          if (!td_drafting_add_month (drafting, agreement, month, (guint) g_ascii_strtoull (words[2], NULL, 10), error))
            return FALSE;
        }
      else
        {
          g_autoptr (TdWork) work = read_work (text, i);

          if (!td_drafting_add_work (drafting, agreement, work, NULL, error))
            return FALSE;
        }
    }
  return TRUE;
}

static void
dump_milli (GString *text, gint64 milli)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];

  g_string_append (text, g_ascii_formatd (digits, sizeof digits, "%g", (double) milli / 1000));
}

static void
dump_invoice (GString *text, const TdInvoice *invoice)
{
  g_autofree char *month = td_date_to_text (invoice->first);

  month[7] = '\0';
  g_string_append_printf (text, "%s%s %s:", text->len > 0 ? "\n" : "", invoice->payer.id, month);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);

      g_string_append_printf (text, "%s %s ", i > 0 ? ";" : "", td_item_to_text (line->item));
      dump_milli (text, line->quantity_milli);
      g_string_append_printf (text, "x%" G_GINT64_FORMAT "=%" G_GINT64_FORMAT " %s ", line->unit_price_minor,
                              line->net_minor, td_tax_to_text (line->category));
      dump_milli (text, line->percent_milli);
    }
  g_string_append (text, " |");
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);

      g_string_append_printf (text, "%s %s ", i > 0 ? ";" : "", td_tax_to_text (tax->category));
      dump_milli (text, tax->percent_milli);
      g_string_append_printf (text, " of %" G_GINT64_FORMAT " = %" G_GINT64_FORMAT, tax->base_minor, tax->tax_minor);
      if (tax->text != NULL)
        g_string_append_printf (text, " (%s)", tax->text);
    }
  g_string_append_printf (text, " | %" G_GINT64_FORMAT, invoice->total_minor);
}

static GPtrArray *
draft (const char *agreement_text, const char *works)
{
  g_autoptr (TdAgreement) agreement = read_agreement (agreement_text);
  g_autoptr (TdDrafting) drafting = td_drafting_new ("a", "A");
  g_autoptr (GError) error = NULL;
  GPtrArray *invoices;

  add_all (drafting, agreement, works, &error);
  g_assert_no_error (error);
  invoices = td_drafting_finish (drafting, &error);
  g_assert_no_error (error);
  return invoices;
}

static void
test_case (gconstpointer data)
{
  const Case *row = data;
  g_autoptr (GPtrArray) invoices = draft (row->agreement, row->works);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < invoices->len; i++)
    {
      dump_invoice (text, g_ptr_array_index (invoices, i));
      g_assert_true (td_invoice_check (g_ptr_array_index (invoices, i), NULL));
    }
  g_assert_cmpstr (text->str, ==, row->expected);
}

/* Body and back, byte for byte; another figure anywhere is seen. */
static void
test_body (void)
{
  const TdSeller seller = { .name = (char *) "Seller", .address = (char *) "Street", .tax_id = (char *) "ZZ9", .payment = (char *) "IBAN" };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GPtrArray) invoices = draft (cases[i].agreement, cases[i].works);
      TdInvoice *invoice = g_ptr_array_index (invoices, 0);
      g_autoptr (GError) error = NULL;

      td_invoice_issue (invoice, "N-1", 20600, &seller);
      g_autofree char *body = td_invoice_to_body (invoice);
      g_autoptr (TdInvoice) back = td_invoice_from_body (body, &error);
      g_assert_no_error (error);
      g_autofree char *again = td_invoice_to_body (back);
      g_assert_cmpstr (again, ==, body);
      g_assert_cmpint (back->first, ==, invoice->first);
      g_assert_true (td_invoice_check (back, NULL));
      back->total_minor++;
      g_assert_false (td_invoice_check (back, NULL));
      back->total_minor--;
      g_array_index (back->taxes, TdInvoiceTax, 0).tax_minor++;
      g_assert_false (td_invoice_check (back, NULL));
    }
}

/* The seal by sha256sum: printf 'tundish-invoice-seal/1\nprevious none\n{}\n' | sha256sum */
static void
test_seal (void)
{
  g_autofree char *seal = td_invoice_make_seal (NULL, "{}");
  g_autofree char *next = td_invoice_make_seal (seal, "{}");

  g_assert_cmpstr (seal, ==, "50c7692abab4b4bfce01b81c755dafc39c3ea66a97cb39ab41e82051d7a0288a");
  g_assert_cmpstr (next, !=, seal);
}

static void
test_credit (void)
{
  const TdSeller seller = { .name = (char *) "Seller" };
  g_autoptr (GPtrArray) invoices = draft (cases[12].agreement, cases[12].works);
  TdInvoice *invoice = g_ptr_array_index (invoices, 0);
  const guint some[] = { 0, 3 };
  g_autoptr (GError) error = NULL;

  g_assert_cmpstr (cases[12].name, ==, "discount");
  td_invoice_issue (invoice, "N-1", 20600, &seller);
  g_autoptr (TdInvoice) whole = td_invoice_credit (invoice, NULL, 0, "withdrawn", &error);
  g_assert_no_error (error);
  g_assert_cmpint (whole->total_minor, ==, 1075);
  g_assert_cmpstr (whole->credits, ==, "N-1");
  g_assert_cmpint (whole->kind, ==, TD_INVOICE_CREDIT);
  /* 3.33 - 1.25 = 2.08; 23 % = 0.4784 -> 0.48; 2.56 */
  g_autoptr (TdInvoice) part = td_invoice_credit (invoice, some, 2, "in part", &error);
  g_assert_no_error (error);
  g_assert_cmpint (part->net_minor, ==, 208);
  g_assert_cmpint (part->total_minor, ==, 256);
  g_assert_cmpint (g_array_index (part->lines, TdInvoiceLine, 1).of, ==, 3);
  td_invoice_issue (whole, "N-2", 20601, &seller);
  g_assert_cmpint (whole->due, ==, whole->issued);
  g_assert_null (td_invoice_credit (whole, NULL, 0, "again", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
}

/* A payer that has been invoiced is left out. */
static void
test_done (void)
{
  const char *const done[] = { "brewery", NULL };
  g_autoptr (TdAgreement) agreement = read_agreement (cases[20].agreement);
  g_autoptr (TdDrafting) drafting = td_drafting_new ("a", "A");
  g_autoptr (TdWork) work = read_work (cases[20].works, 0);
  g_autoptr (GError) error = NULL;

  g_autoptr (GPtrArray) payers = td_drafting_list_payers (agreement, work, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (payers->len, ==, 2);
  g_assert_true (td_drafting_add_work (drafting, agreement, work, done, &error));
  g_autoptr (GPtrArray) invoices = td_drafting_finish (drafting, &error);
  g_assert_cmpuint (invoices->len, ==, 1);
  g_assert_cmpstr (((TdInvoice *) invoices->pdata[0])->payer.id, ==, "owner");
}

static const struct
{
  const char *works;
  int code;
  const char *part;
} unpriced[] = {
  { "R1 2026-03-02 routine 60; part 1 - collar", TD_ERROR_REFERENCE, "collar" },
  { "R1 2026-03-02 routine 60; chem lye -1", TD_ERROR_REFERENCE, "how much" },
  { "R1 2026-03-02 routine 60; part 999999999999 - washer", TD_ERROR_RANGE, "too large" },
};

static void
test_unpriced (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (unpriced); i++)
    {
      g_autoptr (TdAgreement) agreement
          = read_agreement ("{" HEAD ONE "\"chemicals\":[{\"product\":\"lye\",\"cost_l_minor\":1}],"
                            "\"parts\":[{\"part\":\"washer\",\"unit_minor\":10000000000}]," S23 "}");
      g_autoptr (TdDrafting) drafting = td_drafting_new ("a", "A");
      g_autoptr (GError) error = NULL;

      g_assert_false (add_all (drafting, agreement, unpriced[i].works, &error));
      g_assert_error (error, TD_ERROR, unpriced[i].code);
      g_assert_nonnull (strstr (error->message, unpriced[i].part));
      g_autoptr (GPtrArray) invoices = td_drafting_finish (drafting, NULL);
      g_assert_cmpuint (invoices->len, ==, 0);
    }
}

static const struct
{
  const char *agreement;
  const char *part; /* of the message */
} refused[] = {
  { "{" HEAD "\"payers\":[]," S23 "}", "payers" },
  { "{" HEAD ONE "\"taxes\":[]}", "taxes" },
  { "{" HEAD ONE S23 ",\"price\":{}}", "price" },
  { "{" HEAD ONE "\"taxes\":[{\"category\":\"S\",\"percent_milli\":0}]}", "above 0" },
  { "{" HEAD ONE "\"taxes\":[{\"category\":\"Z\",\"percent_milli\":5}]}", "of Z is 0" },
  { "{" HEAD ONE "\"taxes\":[{\"category\":\"E\",\"percent_milli\":0}]}", "text" },
  { "{" HEAD ONE "\"taxes\":[{\"category\":\"S\",\"percent_milli\":5,\"text\":\"x\"}]}", "text" },
  { "{" HEAD "\"payers\":[" DISTRIBUTOR "],\"taxes\":[{\"category\":\"AE\",\"percent_milli\":0,\"text\":\"x\"}]}", "tax_id" },
  { "{" HEAD ONE "\"lines\":[{\"unit_minor\":1,\"clean\":\"acid\"}]," S23 "}", "last of \"lines\"" },
  { "{" HEAD ONE "\"taxes\":[{\"category\":\"S\",\"percent_milli\":5,\"for\":[\"part\"]}]}", "last of \"taxes\"" },
  { "{" HEAD ONE "\"payer_rules\":[{\"payer\":\"nobody\"}]," S23 "}", "nobody" },
  { "{" HEAD ONE "\"payer_rules\":[{\"payer\":\"owner\",\"for\":[\"lines\"]}]," S23 "}", "nothing that is charged" },
  { "{" HEAD ONE "\"payer_rules\":[{\"payer\":\"owner\",\"lines\":[]}]," S23 "}", "leave the key out" },
  { "{" HEAD "\"payers\":[" OWNER "," OWNER "]," S23 "}", "twice" },
  { "{" HEAD_IN ("QQQ") ONE S23 "}", "ISO 4217" },
  { "{" HEAD ONE "\"to\":\"2025-12-31\"," S23 "}", "before it begins" },
  { "{" HEAD ONE "\"prices\":{\"minute_minor\":5}," S23 "}", "go together" },
  { "{" HEAD ONE "\"prices\":{\"visit_minor\":-5}," S23 "}", "visit_minor" },
  { "{" HEAD ONE "\"parts\":[{\"part\":\"a\",\"unit_minor\":1},{\"part\":\"A\",\"unit_minor\":2}]," S23 "}", "two prices" },
  { "{" HEAD ONE "\"contract\":{\"monthly_minor\":100,\"visits\":2,\"missed_minor\":51}," S23 "}", "missed_minor" },
};

static void
test_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (refused[i].agreement, -1, &error);

      g_assert_no_error (error);
      g_assert_null (td_agreement_from_json (json, &error));
      g_assert_nonnull (error);
      if (strstr (error->message, refused[i].part) == NULL || !g_str_has_prefix (error->message, "line 1, column "))
        g_error ("%s: \"%s\"", refused[i].part, error->message);
      g_assert_true (error->domain == TD_ERROR);
    }
}

static void
test_holds (void)
{
  g_autoptr (TdAgreement) agreement = read_agreement ("{" HEAD ONE "\"to\":\"2026-03-31\"," S23 "}");

  g_assert_false (td_agreement_holds (agreement, agreement->from - 1));
  g_assert_true (td_agreement_holds (agreement, agreement->from));
  g_assert_true (td_agreement_holds (agreement, agreement->to));
  g_assert_false (td_agreement_holds (agreement, agreement->to + 1));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strconcat ("/invoice/case/", cases[i].name, NULL);

      g_test_add_data_func (path, &cases[i], test_case);
    }
  g_test_add_func ("/invoice/body", test_body);
  g_test_add_func ("/invoice/seal", test_seal);
  g_test_add_func ("/invoice/credit", test_credit);
  g_test_add_func ("/invoice/done", test_done);
  g_test_add_func ("/invoice/unpriced", test_unpriced);
  g_test_add_func ("/agreement/refused", test_refused);
  g_test_add_func ("/agreement/holds", test_holds);
  return g_test_run ();
}
