/* Valid bodies of every kind of entry: the smallest, and such that every field stands in one of them. */
#pragma once

#define UUID_1 "\"0195f0a1-7c00-7000-8000-000000000001\""
#define HASH_1 "\"00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff\""
#define LINES_1 "\"lines\":[\"A1\"]"
#define LINES_2 "\"lines\":[\"A1\",\"B5\"]"
#define PLAN_STATIC \
  "{\"circuits\":[],\"static\":[{\"line\":\"A1\",\"cooler\":\"C1\"}]}"
#define PLAN_BOTH \
  "{\"circuits\":[{\"number\":1,\"station\":\"TA\",\"legs\":[" \
  "{\"line\":\"A4\",\"direction\":\"in\",\"reversal\":\"yes\"}," \
  "{\"line\":\"A2\",\"direction\":\"out\",\"reversal\":\"no\"}]}]," \
  "\"static\":[{\"line\":\"B6\",\"cooler\":\"C1\",\"fed_by\":1}]}"

typedef struct
{
  const char *kind;
  const char *body;
} KindBody;

static const KindBody kind_bodies[] = {
  { "arrival", "{\"site\":\"two-lanterns-bar\",\"work\":\"routine\"}" },
  { "arrival", "{\"site\":\"two-lanterns-bar\",\"amends\":" UUID_1
               ",\"work\":\"amendment\",\"out_of_hours\":\"no\",\"crew\":[\"t2\",\"t3\"],"
               "\"sds_at_hand\":\"yes\",\"text\":\"Side door,\\nring twice\"}" },
  { "as-found", "{" LINES_1 "}" },
  { "as-found", "{" LINES_2 ",\"pressure_pa\":90000,\"temperature_c_milli\":3300,\"lever\":\"out\","
                "\"keg\":\"part\",\"gas\":\"on\",\"text\":\"Drips\"}" },
  { "staff-told", "{\"tower\":\"TA\",\"name\":\"Bar manager\"}" },
  { "cold-room-checked", "{\"cooler\":\"C1\",\"co2\":\"no-instrument\",\"access\":\"clear\"}" },
  { "cold-room-checked", "{\"cooler\":\"C1\",\"co2\":\"normal\",\"co2_ppm\":650,\"access\":\"blocked\","
                         "\"text\":\"Crates before the door\"}" },
  { "scope", "{\"clean\":\"acid\"," LINES_1 "}" },
  { "plan-adopted", "{\"plan\":" PLAN_STATIC ",\"source\":\"hand\"}" },
  { "plan-adopted", "{\"plan\":" PLAN_BOTH ",\"source\":\"planner\",\"certificate_sha256\":" HASH_1
                    ",\"certificate\":{\"format\":\"tundish-certificate/1\"}"
                    ",\"minutes\":95,\"predicted\":{\"circuits\":[{\"number\":1,\"flow_ml_min\":"
                    "4200,\"fill_s\":51,\"volume_ml\":4300,\"velocity_mm_s\":900,"
                    "\"rinse_s\":80,\"rinse_ml\":5600}]}}" },
  { "line-proved", "{" LINES_2 "}" },
  { "tag-hung", "{\"tag\":\"1\",\"tag_kind\":\"tag\",\"at\":\"outlet\",\"line\":\"B6\"}" },
  { "tag-hung", "{\"tag\":\"2\",\"tag_kind\":\"lock\",\"at\":\"gas\",\"line\":\"B6\",\"place\":"
                "\"drive gas regulator\",\"legend\":\"Do not operate\"}" },
  { "tag-lifted", "{\"tag\":\"1\"}" },
  { "tag-hung-again", "{\"tag\":\"1\"}" },
  { "tag-removed", "{\"tag\":\"1\"}" },
  { "tag-removed", "{\"tag\":\"1\",\"absent_verified\":\"yes\",\"contact_tried\":\"yes\","
                   "\"told_before_return\":\"yes\"}" },
  { "hand-over", "{\"to\":\"t2\"}" },
  { "hand-over", "{\"to\":\"t2\",\"tags\":[\"1\",\"2\"]}" },
  { "gas-off", "{\"gas\":\"beer-pump\"," LINES_1 "}" },
  { "gas-on", "{\"gas\":\"keg\"," LINES_1 "}" },
  { "cooling-off", "{\"place\":\"C1\"}" },
  { "cooling-on", "{\"place\":\"TA\"}" },
  { "protection-on", "{\"eyes\":\"yes\",\"gloves\":\"yes\"}" },
  { "protection-on", "{\"eyes\":\"yes\",\"gloves\":\"no\",\"apron\":\"yes\"}" },
  { "keg-uncoupled", "{" LINES_1 "}" },
  { "keg-uncoupled", "{" LINES_1 ",\"keg\":\"nearly-empty\"}" },
  { "adapter-fitted", "{" LINES_1 "}" },
  { "check-ball-out", "{" LINES_1 "}" },
  { "ends-joined", "{\"ends\":\"keg\",\"by\":\"manifold\"," LINES_2 "}" },
  { "fob-opened", "{" LINES_1 "}" },
  { "lever-set", "{" LINES_1 "}" },
  { "solution-mixed", "{\"batch\":\"m1\",\"product\":\"lye\",\"known\":\"estimated\"}" },
  { "solution-mixed", "{\"batch\":\"m1\",\"product\":\"lye\",\"lot\":\"lye-7\",\"concentrate_ml\":480,"
                      "\"water_ml\":9000,\"percent_milli\":2030,\"basis\":\"w/w\","
                      "\"temperature_c_milli\":40000,\"known\":\"measured\",\"instrument\":\"jug\"}" },
  { "strength-measured", "{\"batch\":\"m1\",\"percent_milli\":2040,\"basis\":\"w/w\",\"method\":"
                         "\"drops\",\"known\":\"estimated\"}" },
  { "strength-measured", "{\"batch\":\"m1\",\"percent_milli\":2040,\"basis\":\"w/v\",\"method\":"
                         "\"titration\",\"instrument\":\"kit\",\"known\":\"measured\"}" },
  { "cleaning-pump-on", "{\"circuit\":1}" },
  { "cleaning-pump-on", "{\"circuit\":999,\"flow_ml_min\":4200}" },
  { "cleaning-pump-off", "{\"circuit\":1}" },
  { "beer-pushed-out", "{\"circuit\":1,\"lost_ml\":2400,\"by\":\"water\",\"known\":\"measured\"}" },
  { "beer-pushed-out", "{" LINES_1 ",\"lost_ml\":0,\"by\":\"solution\",\"known\":\"estimated\"}" },
  { "chemical-in", "{\"circuit\":1,\"batch\":\"m1\"}" },
  { "chemical-in", "{" LINES_1 ",\"batch\":\"m1\"}" },
  { "flow-seen", "{" LINES_1 ",\"direction\":\"in\"}" },
  { "return-in-bucket", "{\"circuit\":1}" },
  { "chemical-seen", "{\"circuit\":1,\"batch\":\"m1\"}" },
  { "chemical-seen", "{" LINES_1 ",\"batch\":\"m1\",\"shut\":\"yes\"}" },
  { "fob-flooded", "{" LINES_1 "}" },
  { "faucet-stripped", "{" LINES_1 "}" },
  { "coupler-brushed", "{" LINES_1 "}" },
  { "fob-stripped", "{" LINES_1 "}" },
  { "coupler-stripped", "{" LINES_1 "}" },
  { "contact-ended", "{\"circuit\":1}" },
  { "contact-ended", "{" LINES_1 "}" },
  { "rinse-started", "{\"circuit\":1}" },
  { "rinse-started", "{" LINES_1 "}" },
  { "rinse-circulated", "{\"circuit\":1}" },
  { "fob-rinsed", "{" LINES_1 "}" },
  { "ph-read", "{\"of\":\"tap\",\"ph_milli\":7400,\"known\":\"estimated\"}" },
  { "ph-read", "{\"of\":\"outlet\"," LINES_1 ",\"ph_milli\":14000,\"instrument\":\"meter\","
               "\"known\":\"measured\"}" },
  { "debris-seen", "{" LINES_1 ",\"debris\":\"none\"}" },
  { "rinse-water", "{\"circuit\":1,\"water_ml\":20000,\"known\":\"accepted\"}" },
  { "rinse-water", "{" LINES_1 ",\"water_ml\":8000,\"known\":\"estimated\"}" },
  { "solution-disposed", "{\"volume_ml\":9000,\"drain\":\"carried-away\",\"known\":\"estimated\"}" },
  { "solution-disposed", "{\"batch\":\"m1\",\"volume_ml\":9000,\"ph_milli\":8100,\"drain\":"
                         "\"neutralised\",\"known\":\"measured\"}" },
  { "faucet-rebuilt", "{" LINES_1 "}" },
  { "lever-set-back", "{" LINES_1 "}" },
  { "check-ball-in", "{" LINES_1 "}" },
  { "ends-parted", "{\"ends\":\"faucet\",\"by\":\"jumper\"," LINES_2 "}" },
  { "adapter-removed", "{" LINES_1 "}" },
  { "valve-well-dried", "{" LINES_1 "}" },
  { "keg-coupled", "{" LINES_1 "}" },
  { "keg-coupled", "{" LINES_1 ",\"product\":\"Dry stout\",\"keg\":\"full\"}" },
  { "fob-vented", "{" LINES_1 "}" },
  { "beer-clear", "{" LINES_1 "}" },
  { "product-now", "{" LINES_1 ",\"product\":\"Wheat beer\"}" },
  { "temperature-read", "{\"of\":\"beer\"," LINES_1 ",\"temperature_c_milli\":3300,\"known\":"
                        "\"estimated\"}" },
  { "temperature-read", "{\"of\":\"solution\",\"batch\":\"m1\",\"temperature_c_milli\":40500,"
                        "\"instrument\":\"probe\",\"known\":\"measured\"}" },
  { "temperature-read", "{\"of\":\"cold-room\",\"cooler\":\"C1\",\"temperature_c_milli\":-500,"
                        "\"known\":\"measured\"}" },
  { "pressure-read", "{" LINES_1 ",\"gas\":\"keg\",\"pressure_pa\":95000,\"known\":\"estimated\"}" },
  { "pressure-read", "{" LINES_1 ",\"gas\":\"blend\",\"pressure_pa\":0,\"instrument\":\"gauge\","
                     "\"known\":\"measured\"}" },
  { "pour-rate-read", "{" LINES_1 ",\"pour_ml_min\":3550,\"known\":\"measured\"}" },
  { "leak-checked", "{" LINES_1 ",\"result\":\"tight\"}" },
  { "left-tidy", "{}" },
  { "left-tidy", "{\"text\":\"Floor of the cold room mopped\"}" },
  { "fault", "{\"symptom\":\"warm\",\"extent\":\"all-lines\",\"cause\":\"equipment\",\"severity\":"
             "\"quality\",\"text\":\"Fan stands still\"}" },
  { "fault", "{\"line\":\"A3\",\"tower\":\"TA\",\"cooler\":\"C1\",\"symptom\":\"leak\",\"extent\":"
             "\"one-line\",\"cause\":\"equipment\",\"severity\":\"stops-service\",\"text\":\"Seal worn\","
             "\"action\":\"Replaced\",\"quote_wanted\":\"yes\",\"follow_up\":\"no\"}" },
  { "part-fitted", "{\"part\":\"Coupler seal\",\"quantity\":1}" },
  { "part-fitted", "{\"line\":\"A3\",\"part\":\"Faucet washer\",\"quantity\":1000,\"text\":\"Spare\"}" },
  { "line-left-out", "{" LINES_1 ",\"reason\":\"Not in use\"}" },
  { "out-of-service", "{" LINES_1 ",\"condition\":\"holding\",\"reason\":\"FOB broken\",\"handed_to\":"
                      "\"Bar manager\"}" },
  { "out-of-service", "{" LINES_1 ",\"condition\":\"drained\",\"reason\":\"FOB broken\",\"handed_to\":"
                      "\"Bar manager\",\"tag\":\"1\"}" },
  { "incident", "{\"what\":\"spill\",\"text\":\"Half a litre on the floor\"}" },
  { "incident", "{\"what\":\"exposure\",\"text\":\"Splash on a sleeve\",\"action\":\"Rinsed\"}" },
  { "finding-reason", "{\"code\":\"contact-short\",\"reason\":\"Keg ran dry\"}" },
  { "finding-reason", "{\"code\":\"contact-short\",\"line\":\"A1\",\"reason\":\"Keg ran dry\"}" },
  { "note", "{\"text\":\"Key at the bar\"}" },
  { "note", "{\"text\":\"Drip tray cracked\",\"line\":\"A1\"}" },
  { "photo", "{\"file\":\"faucet.jpg\",\"media\":\"image/jpeg\",\"line\":\"A1\",\"text\":\"Mould\"}" },
  { "photo", "{\"sha256\":" HASH_1 "}" },
  { "correction", "{\"of\":3,\"void\":\"yes\",\"why\":\"Wrong line\"}" },
  { "correction", "{\"of\":3,\"set\":{\"ph_milli\":7400,\"happened\":\"2026-03-02T06:10:00+00:00\","
                  "\"person\":\"t1\"},\"why\":\"Misread\"}" },
  { "signature", "{\"name\":\"T. One\",\"meaning\":\"work-done\"}" },
  { "signature", "{\"name\":\"T. One\",\"strokes\":[[0,0,0,120,80,16],[300,0,400]],\"meaning\":"
                 "\"work-done\"}" },
  { "countersignature", "{\"meaning\":\"nobody-present\"}" },
  { "countersignature", "{\"meaning\":\"informed\",\"name\":\"B. Two\",\"strokes\":[[1,2,3]]}" },
  { "countersignature", "{\"meaning\":\"refused\",\"reason\":\"Did not agree with the time\"}" },
  { "closing", "{}" },
  { "closing", "{\"snapshot\":{\"rules\":1}}" },
};
