/* rule-cases.h: for every rule visits that break it and visits that just do not, as changes of the good
 * visit of visit-bench.c, one change a line:
 *   - TEXT           leaves out the lines that hold TEXT
 *   ~ TEXT => OTHER  replaces TEXT in every line
 *   + LINE           adds a line in the order of time
 *   > LINE           adds a line at the end
 *   * A B C          earlier visits had the last acid clean, stripping of FOBs and of couplers then ("-":
 *                    never) */
#pragma once

typedef struct
{
  const char *code;
  const char *changes;
  const char *says; /* what a finding of that code says; NULL: there must be none */
} RuleCase;

#define OUT(lines, condition) \
  "> 07:30 out-of-service lines=" lines " condition=" condition " reason='part missing' handed_to='Bar manager'"
#define ACID_AFTER_RINSE \
  "+ 07:03 solution-mixed batch=S1 product=sour lot=SO1 concentrate_ml=900 percent_milli=1500 known=measured\n" \
  "+ 07:03 chemical-in circuit=1 batch=S1"
#define PLAN_2 \
  "+ 06:11 plan-adopted plan='{\"circuits\":[{\"number\":1,\"station\":\"TA\",\"legs\":[" \
  "{\"line\":\"A4\",\"direction\":\"in\",\"reversal\":\"yes\"},{\"line\":\"A2\",\"direction\":\"out\",\"reversal\":\"no\"}]}," \
  "{\"number\":2,\"station\":\"TB\",\"legs\":[{\"line\":\"B7\",\"direction\":\"in\",\"reversal\":\"no\"}," \
  "{\"line\":\"B5\",\"direction\":\"out\",\"reversal\":\"no\"}]}]," \
  "\"static\":[{\"line\":\"B6\",\"cooler\":\"C1\",\"fed_by\":1}]}' source=hand\n"
#define STATIC_IN_SIGHT \
  "~ \"static\":[ => \"static\":[{\"line\":\"A1\",\"cooler\":\"C1\",\"fed_by\":1},\n" \
  "+ 06:38 chemical-in lines=A1 batch=K1\n+ 06:39 chemical-seen lines=A1 batch=K1 shut=yes\n" \
  "+ 07:00 contact-ended lines=A1\n"
#define PH_ALIKE \
  "+ 07:01 ph-read of=outlet lines=A2 ph_milli=7450 instrument=meter known=measured\n" \
  "~ lines=A2,A4 ph_milli=7520 => lines=A4 ph_milli=7450\n"
#define BEER(clock, line) \
  "+ " clock " temperature-read of=beer lines=" line " temperature_c_milli=3300 known=measured\n"
#define FAULT(severity) \
  "> 07:30 fault line=A2 symptom=leak extent=one-line cause=equipment severity=" severity " text=drips\n"

/* clang-format off */
static const RuleCase rule_cases[] = {
  { "pump-not-set-back", "- lever-set-back\n- direction=out", "Front bar 4: pump lever set inwards at 06:22 and not set back" },
  { "pump-not-set-back", "~ lever=out => lever=in\n- lever-set", "Front bar 4: pump lever found inwards at 06:06" },
  { "pump-not-set-back", "- lever-set-back\n- direction=out\n" OUT ("A4", "rinsed"), NULL },
  { "pump-not-set-back", "~ lever=out => lever=in\n- lever-set lines", NULL },

  { "pump-not-proved", "- direction=out\n- beer-clear", "Front bar 4: pump lever set back at 07:07 and not proved" },
  { "pump-not-proved", "~ 07:13 flow-seen => 07:06 flow-seen\n- beer-clear", "not proved by flow outwards" },
  { "pump-not-proved", "- direction=out", NULL },
  { "pump-not-proved", "- beer-clear", NULL },
  { "pump-not-proved", "- direction=out\n~ 07:14 beer-clear => 07:06 beer-clear\n- 07:16 beer-clear", "not proved by flow outwards" },
  { "pump-not-proved", "~ 07:13 flow-seen => 07:07 flow-seen\n- beer-clear", NULL },
  { "pump-not-proved", "- direction=out\n~ 07:14 beer-clear => 07:07 beer-clear\n- 07:16 beer-clear", NULL },

  { "tag-left", "- tag-removed\n+ 06:58 tag-hung-again tag=T1", "Terrace 6: tag T1, hung at 06:14, was not removed" },
  { "tag-left", "+ 06:16 tag-hung tag=G1 tag_kind=lock at=gas place='gas board'", "lock G1 at gas board, hung at 06:16" },
  { "tag-left", "- tag-removed\n+ 06:58 tag-hung-again tag=T1\n" OUT ("B6", "rinsed"), NULL },
  { "tag-left", "+ 06:16 tag-hung tag=G1 tag_kind=lock at=gas place='gas board'\n" OUT ("A4", "rinsed") " tag=G1", NULL },
  { "tag-left", "+ 06:16 tag-hung tag=G1 tag_kind=lock at=gas place='gas board'\n" OUT ("A4", "rinsed") " tag=T1", "lock G1 at gas board" },
  { "tag-left", "+ 07:17 tag-hung-again tag=T1", NULL },

  { "tag-lifted", "- tag-removed", "Terrace 6: tag T1, lifted at 06:57, was neither hung again nor removed" },
  { "tag-lifted", "- tag-removed\n+ 06:58 tag-hung-again tag=T1", NULL },

  { "fob-not-rinsed", "- fob-rinsed", "Front bar 4: FOB flooded at 06:34 and not rinsed" },
  { "fob-not-rinsed", "+ 07:00 fob-flooded lines=B6", "Terrace 6: FOB flooded at 07:00" },
  { "fob-not-rinsed", "- fob-rinsed\n- fob-flooded", NULL },

  { "gas-not-restored", "- gas-on gas=keg", "Front bar 2: gas on the keg shut at 06:16" },
  { "gas-not-restored", "- gas-on gas=beer-pump", "Front bar 4: drive gas of the beer pump shut at 06:16" },
  { "gas-not-restored", "- gas=keg", NULL },

  { "cooling-not-restored", "- cooling-on", "cooling of Cold room switched off at 06:15" },
  { "cooling-not-restored", "- cooling-on\n" OUT ("A1,A2,A3,A4,B5,B6", "rinsed"), "cooling of Cold room" },
  { "cooling-not-restored", "- cooling-on\n" OUT ("A1,A2,A3,A4,B5,B6,B7", "rinsed"), NULL },
  { "cooling-not-restored", "- cooling-o", NULL },

  { "holding-chemical", "- ph-read of=outlet lines=B6", "Terrace 6: caustic was sent in and no pH at the outlet" },
  { "holding-chemical", "~ ph_milli=7450 => ph_milli=11500", "Terrace 6: the outlet's pH 11.50 shows" },
  { "holding-chemical", "~ ph_milli=7450 => ph_milli=2000", "pH 2.00" },
  { "holding-chemical", "~ ph_milli=7450 instrument=meter known=measured => ph_milli=7450 known=estimated", "only estimated: measure it" },
  { "holding-chemical", "~ 07:01 ph-read => 06:56 ph-read", "Terrace 6: caustic was sent in and no pH" },
  { "holding-chemical", "- ph-read of=outlet lines=B6\n" OUT ("B6", "holding"), NULL },
  { "holding-chemical", "~ ph_milli=7450 => ph_milli=11499", NULL },

  { "chemical-act-lost", "> 07:30 correction of=8 void=yes why='wrong plan'", "(Chemical sent in) has lost its place" },
  { "chemical-act-lost", "> 07:30 correction of=9 void=yes why='not done'", NULL },
  { "chemical-act-lost", "> 07:30 correction of=22 void=yes why='not mixed'", NULL },
  { "chemical-act-lost", "> 07:30 correction of=8 void=yes why='wrong plan'", "(Full strength seen at the end) has lost its place" },

  { "check-ball-out", "- check-ball-in", "Front bar 4: coupler's check ball taken out at 06:19 and not refitted" },
  { "check-ball-out", "- check-ball", NULL },

  { "faucet-not-rebuilt", "- faucet-rebuilt\n- beer-clear", "Front bar 2: faucet stripped at 06:40 and not rebuilt" },
  { "faucet-not-rebuilt", "- faucet-rebuilt", NULL },
  { "faucet-not-rebuilt", "- beer-clear", NULL },

  { "adapter-left", "- adapter-removed", "Front bar 2: cleaning adapter fitted at 06:19 and not taken off" },
  { "adapter-left", "- adapter", NULL },

  { "ends-joined", "- ends-parted ends=keg", "Terrace 6: keg end joined at 06:20 and not parted" },
  { "ends-joined", "- ends-parted ends=faucet", "Front bar 4: faucet end joined at 06:20 and not parted" },
  { "ends-joined", "- ends-", NULL },

  { "keg-not-coupled", "- keg-coupled", "Front bar 2: keg uncoupled at 06:18 and not coupled again" },
  { "keg-not-coupled", "- keg-coupled\n- keg-uncoupled", NULL },

  { "scope-missing", "- scope clean", "no scope was agreed" },
  { "scope-missing", "- scope clean\n~ work=routine => work=call-out", NULL },

  { "line-not-cleaned", "~ caustic lines=A2 => caustic lines=A1,A2", "Front bar 1: caustic clean in scope, neither made nor the line left out" },
  { "line-not-cleaned", "+ 06:09 scope clean=acid lines=A2", "Front bar 2: acid clean in scope" },
  { "line-not-cleaned", "~ caustic lines=A2 => caustic lines=A1,A2\n> 07:30 line-left-out lines=A1 reason='keg empty'", NULL },
  { "line-not-cleaned", "~ caustic lines=A2 => caustic lines=A1,A2\n" OUT ("A1", "not-started"), NULL },

  { "chemical-without-lot", "~ lot=LY1 => ", "mix K1 of Line lye 30 has no lot" },
  { "chemical-without-lot", "> 07:30 correction of=22 void=yes why='not mixed'", "Terrace 6: chemical was sent in of a mix" },
  { "chemical-without-lot", "~ lot=LY1 => lot=LYOLD", NULL },
  { "chemical-without-lot", "~ lot=LY1 => \n> 07:30 correction of=22 set='{\"lot\":\"LY1\"}' why='read it later'", NULL },

  { "chemical-without-amount", "~ concentrate_ml=1030 => ", "mix K1 of Line lye 30 has no amount" },
  { "chemical-without-amount", "~ concentrate_ml=1030 => concentrate_ml=0", "has no amount" },
  { "chemical-without-amount", "~ concentrate_ml=1030 => concentrate_ml=1", NULL },

  { "signature-missing", "- 07:25 signature", "nobody has signed" },
  { "signature-missing", "~ 'Ida Brook' => ida", NULL },

  { "countersignature-missing", "- countersignature", "no countersignature" },
  { "countersignature-missing", "~ meaning=informed name='Bar manager' => meaning=nobody-present", NULL },

  { "signed-before-end", "> 07:40 faucet-stripped lines=A1", "signed for at 07:25; acts after that: 1, the first is entry" },
  { "signed-before-end", "> 07:40 note text='one more word'", NULL },
  { "signed-before-end", "> 07:25 faucet-stripped lines=A1", NULL },

  { "countersignature-refused", "~ meaning=informed name='Bar manager' => meaning=refused reason='wants a credit'", "refused: wants a credit" },
  { "countersignature-refused", "~ meaning=informed name='Bar manager' => meaning=nobody-present", NULL },

  { "entered-late", "~ 07:24 left-tidy => 07:24 left-tidy !07:50", "acts entered late: 3, the latest 26:00 min after it happened" },
  { "entered-late", "~ 07:24 left-tidy => 07:24 left-tidy !07:39:00.001", "the latest 15:00 min after" },
  { "entered-late", "~ 07:24 left-tidy => 07:24 left-tidy !08:24", "the latest 1 h 00 min after" },
  { "entered-late", "> 07:40 correction of=5 set='{\"happened\":\"2026-03-02T05:50:00Z\"}' why='earlier'", "acts entered late: 1, the latest 16:05 min" },
  { "entered-late", "~ 07:24 left-tidy => 07:24 left-tidy !07:39", NULL },

  { "entered-ahead", "> 07:40 note text=x !07:38:59", "written down before they happened: 1" },
  { "entered-ahead", "> 07:40 note text=x !07:39", NULL },
  { "entered-ahead", "> 07:40 note text=x !07:35\n> 07:41 note text=y !07:36", "written down before they happened: 2, the first is entry 77" },

  { "clock-ran-backwards", "> 07:40 note text=x !07:20", "clock went back by 6:05 min before entry" },
  { "clock-ran-backwards", "> 07:40 note text=x !08:40 ^07:40", "clock went forward by 60:00 min" },
  { "clock-ran-backwards", "> 07:40 note text=x !07:20 ^00:01 %boot-2", "clock went back by 6:05 min" },
  { "clock-ran-backwards", "> 07:40 note text=x !07:40:30 ^07:39:30", NULL },
  { "clock-ran-backwards", "> 07:40 note text=x !07:40:30 ^00:01 %boot-2", NULL },

  { "order-broken", "> 07:30 correction of=10 void=yes why='not hung'", "of entry 10 leaves acts that cannot have happened" },
  { "order-broken", "> 07:30 correction of=2 void=yes why='not told'", NULL },

  { "times-disordered", "~ 06:51 contact-ended => 06:53 contact-ended", "Front bar 4: its rinse began at 06:52, before" },
  { "times-disordered", "~ 06:31 chemical-in => 06:34 chemical-in", "Front bar 4: chemical seen at its end at 06:33, before it was sent in at 06:34" },
  { "times-disordered", "~ 06:33 chemical-seen => 06:53 chemical-seen", "Front bar 4: chemical seen at its end at 06:53, after its contact" },
  { "times-disordered", "~ 06:31 chemical-in => 06:33 chemical-in", NULL },
  { "times-disordered", "~ 06:51 contact-ended => 06:52 contact-ended", NULL },

  { "readings-alike", PH_ALIKE, "all 3 readings of the rinse's pH are 7.45" },
  { "readings-alike", BEER ("07:18", "A2") BEER ("07:18", "A4") BEER ("07:19", "B6"), "all 4 readings of the beer's temperature in C are 3.3" },
  { "readings-alike", PH_ALIKE "~ instrument=meter => instrument=strip", NULL },
  { "readings-alike", BEER ("07:18", "A2") BEER ("07:18", "A4"), NULL },

  { "contact-exact", "~ 06:51 contact-ended => 06:49 contact-ended\n~ 06:57 contact-ended => 06:56 contact-ended",
    "all 3 contact times are exactly the minimum" },
  { "contact-exact", "~ 06:51 contact-ended => 06:49 contact-ended", NULL },
  { "contact-exact", "~ 06:51 contact-ended => 06:49 contact-ended\n- chemical-in lines=B6\n- chemical-seen lines=B6\n- contact-ended lines=B6",
    "all 2 contact times are exactly the minimum" },

  { "person-unknown", "+ 06:50 note text=x @stranger", "no technician \"stranger\"" },
  { "person-unknown", "~ work=routine => work=routine crew=pia,passer-by", "passer-by" },
  { "person-unknown", "+ 06:50 note text=x @pia", NULL },

  { "certificate-expired", "+ 06:50 note text=x @olav", "the certificate of Olav Reed expired on 2026-03-01" },
  { "certificate-expired", "+ 06:50 note text=x @pia", NULL },
  { "certificate-expired", "+ 06:50 note text=x @rut", NULL },

  { "calibration-expired", "~ ph_milli=7400 instrument=meter => ph_milli=7400 instrument=oldmeter", "Old pH meter was due on 2025-07-01" },
  { "calibration-expired", "~ ph_milli=7400 instrument=meter => ph_milli=7400 instrument=strip", NULL },
  { "calibration-expired", "~ ph_milli=7400 instrument=meter => ph_milli=7400 instrument=daymeter", NULL },

  { "staff-not-told", "- tower=TB", "Terrace: chemical sent in at 06:35" },
  { "staff-not-told", "~ 06:02 staff-told => 06:32 staff-told", "Front bar: chemical sent in at 06:31" },
  { "staff-not-told", "~ 06:03 staff-told => 06:35 staff-told", NULL },

  { "cold-room-not-checked", "- cold-room-checked", "Cold room: work on kegs from 06:16" },
  { "cold-room-not-checked", "~ 06:05 cold-room-checked => 06:16 cold-room-checked", NULL },

  { "cold-room-co2", "~ co2_ppm=650 => co2_ppm=5001", "Cold room: 5001 ppm of carbon dioxide at 06:05, at most 5000 ppm" },
  { "cold-room-co2", "~ co2=normal co2_ppm=650 => co2=high", "Cold room: carbon dioxide high at 06:05" },
  { "cold-room-co2", "~ co2_ppm=650 => co2_ppm=5000", NULL },

  { "sds-not-at-hand", "~ sds_at_hand=yes => sds_at_hand=no", "were not at hand" },
  { "sds-not-at-hand", "~ sds_at_hand=yes => ", NULL },

  { "protection-late", "~ gloves=yes => gloves=no", "Ida Brook handled chemical at 06:24" },
  { "protection-late", "~ chemical-in circuit=1 => chemical-in @pia circuit=1", "Pia Marsh handled chemical at 06:31" },
  { "protection-late", "~ chemical-in lines=B6 => chemical-in @pia lines=B6\n> 07:30 correction of=8 void=yes why='wrong plan'",
    "Pia Marsh handled chemical at 06:35" },
  { "protection-late", "~ 06:17 protection-on => 06:24 protection-on", NULL },
  { "protection-late", "~ chemical-in circuit=1 => chemical-in @pia circuit=1\n> 07:30 correction of=8 void=yes why='wrong plan'", NULL },

  { "outlet-untagged", "~ 06:14 tag-hung => 06:36 tag-hung", "Terrace 6: chemical sent in at 06:35, this outlet out of sight" },
  { "outlet-untagged", PLAN_2 "+ 06:40 chemical-in circuit=2 batch=K1", "Front bar 17: chemical sent in at 06:40" },
  { "outlet-untagged", "~ 06:14 tag-hung => 06:35 tag-hung", NULL },
  { "outlet-untagged", "~ \"static\":[ => \"static\":[{\"line\":\"A1\",\"cooler\":\"C1\"},\n+ 06:38 chemical-in lines=A1 batch=K1",
    "Front bar 1: chemical sent in at 06:38, this outlet out of sight" },
  { "outlet-untagged", STATIC_IN_SIGHT, NULL },

  { "static-untagged", STATIC_IN_SIGHT, "Front bar 1: held chemical with no tag" },
  { "static-untagged", STATIC_IN_SIGHT "+ 06:59 tag-hung tag=T2 tag_kind=tag at=outlet line=A1", NULL },
  { "static-untagged", STATIC_IN_SIGHT "+ 07:01 tag-hung tag=T2 tag_kind=tag at=outlet line=A1", "Front bar 1: held chemical with no tag" },
  { "static-untagged", "- tag-", NULL },

  { "static-not-shut", "~ shut=yes => ", "Terrace 6: chemical seen at 06:36, the faucet not said to be shut" },
  { "static-not-shut", "~ shut=yes => \n> 07:30 correction of=35 set='{\"shut\":\"yes\"}' why='it was'", NULL },

  { "static-faucet-opened", "~ 07:03 faucet-stripped => 07:00 faucet-stripped", "Terrace 6: faucet stripped at 07:00 while" },
  { "static-faucet-opened", "~ 07:03 faucet-stripped => 07:01 faucet-stripped", NULL },
  { "static-faucet-opened", "~ 07:03 faucet-stripped => 06:35 faucet-stripped", "Terrace 6: faucet stripped at 06:35" },
  { "static-faucet-opened", "~ 07:03 faucet-stripped => 06:34 faucet-stripped", NULL },

  { "gas-on-at-faucet", "- gas=beer-pump", "Front bar 4: faucet opened at 06:40 with the drive gas" },
  { "gas-on-at-faucet", "+ 06:39 gas-on gas=beer-pump lines=A4", "Front bar 4: faucet opened at 06:40" },
  { "gas-on-at-faucet", "~ 06:40 faucet-stripped => 06:16 faucet-stripped", NULL },

  { "tag-removed-early", "~ 07:18 tag-removed => 07:00 tag-removed", "Terrace 6: tag T1 removed for good at 07:00" },
  { "tag-removed-early", "~ 07:18 tag-removed => 07:01 tag-removed", NULL },
  { "tag-removed-early", STATIC_IN_SIGHT "+ 06:59 tag-hung tag=T2 tag_kind=tag at=outlet line=A1\n+ 07:02 tag-removed tag=T2",
    "Front bar 1: tag T2 removed for good at 07:02" },
  { "tag-removed-early", "+ 06:16 tag-hung tag=G1 tag_kind=lock at=gas place='gas board'\n+ 06:50 tag-removed tag=G1", NULL },

  { "tag-removed-by-other", "~ tag-removed tag=T1 => tag-removed tag=T1 @pia", "tag T1 of Ida Brook removed by Pia Marsh" },
  { "tag-removed-by-other", "~ tag-removed tag=T1 => tag-removed tag=T1 @pia absent_verified=yes contact_tried=yes", "Pia Marsh" },
  { "tag-removed-by-other",
    "~ tag-removed tag=T1 => tag-removed tag=T1 @pia absent_verified=yes contact_tried=yes told_before_return=yes", NULL },
  { "tag-removed-by-other", "~ tag-removed tag=T1 => tag-removed tag=T1 @pia\n+ 07:10 hand-over to=pia", NULL },

  { "tag-lifted-by-other", "~ 06:57 tag-lifted => 06:57 tag-lifted @pia", "tag T1 of Ida Brook lifted by Pia Marsh" },
  { "tag-lifted-by-other", "~ 06:57 tag-lifted => 06:57 tag-lifted @pia\n+ 06:56 hand-over to=pia tags=T1", NULL },

  { "held-untagged", OUT ("B6", "holding"), "Terrace 6: left out of service holding chemical" },
  { "held-untagged", OUT ("B6", "holding") " tag=T1", "Terrace 6: left out of service holding chemical" },
  { "held-untagged", "- tag-removed\n" OUT ("B6", "holding"), NULL },
  { "held-untagged", OUT ("B6", "rinsed"), NULL },
  { "held-untagged", "+ 06:16 tag-hung tag=X1 tag_kind=tag at=outlet line=A1\n" OUT ("B6", "holding") " tag=X1", NULL },

  { "caustic-met-acid",
    "+ 06:55 solution-mixed batch=S1 product=sour lot=SO1 concentrate_ml=900 known=measured\n+ 06:56 chemical-in circuit=1 batch=S1",
    "Front bar 4: acid sent in at 06:56, the rinse after the caustic not passed" },
  { "caustic-met-acid", ACID_AFTER_RINSE, NULL },

  { "acid-with-chlorine", "~ product=lye lot=LY1 => product=bleachlye lot=BL1\n" ACID_AFTER_RINSE, "Front bar 4: an acid and" },
  { "acid-with-chlorine", ACID_AFTER_RINSE, NULL },
  { "acid-with-chlorine", "~ product=lye lot=LY1 => product=sour lot=SO1\n+ 07:03 solution-mixed batch=C1 product=bleachlye lot=BL1 known=measured\n"
    "+ 07:03 chemical-in circuit=1 batch=C1", "Front bar 4: an acid and" },
  { "acid-with-chlorine", "+ 07:03 solution-mixed batch=C1 product=bleachlye lot=BL1 known=measured\n+ 07:03 chemical-in circuit=1 batch=C1", NULL },
  { "acid-with-chlorine", "~ product=lye lot=LY1 => product=sour lot=SO1\n+ 07:03 solution-mixed batch=C1 product=lye lot=LY1 known=measured\n"
    "+ 07:03 chemical-in circuit=1 batch=C1", NULL },

  { "lot-recalled", "~ lot=LY1 => lot=LYBAD", "mix K1: lot 772 was recalled" },
  { "lot-recalled", "~ lot=LY1 => lot=LYOLD", NULL },

  { "safety-fault-in-service", FAULT ("safety"), "Front bar 2: a fault of severity safety" },
  { "safety-fault-in-service", FAULT ("stops-service"), NULL },
  { "safety-fault-in-service", FAULT ("safety") OUT ("A2", "rinsed"), NULL },
  { "safety-fault-in-service", "> 07:30 fault line=A1 symptom=leak extent=one-line cause=equipment severity=safety text=drips", "Front bar 1: a fault" },
  { "safety-fault-in-service", "> 07:30 fault tower=TA symptom=leak extent=all-lines cause=equipment severity=safety text=drips", NULL },

  { "line-not-proved", "~ line-proved lines=A2,A4,B6 => line-proved lines=A2,A4", "Terrace 6: chemical sent in at 06:35" },
  { "line-not-proved", "~ 06:12 line-proved => 06:32 line-proved", "Front bar 2: chemical sent in at 06:31" },
  { "line-not-proved", "+ 07:00 line-proved lines=A2", NULL },
  { "line-not-proved", "~ 06:12 line-proved => 06:31 line-proved", NULL },
  { "line-not-proved", "+ 06:40 chemical-in lines=B7s batch=K1", NULL },

  { "direction-differs", "~ lines=A4 direction=in => lines=A4 direction=out", "Front bar 4: seen to run out, planned to run in" },
  { "direction-differs", "- lines=A4 direction=in", NULL },
  { "direction-differs", PLAN_2 "+ 06:29 flow-seen lines=B7 direction=out", NULL },

  { "contact-short", "~ 06:51 contact-ended => 06:46:30 contact-ended", "Front bar 4: circulating contact 12:30 of 15:00 min" },
  { "contact-short", "+ 06:36 cleaning-pump-off circuit=1\n+ 06:40 cleaning-pump-on circuit=1", "circulating contact 13:00 of 15:00 min" },
  { "contact-short", "- return-in-bucket", "contact 0:00 of 15:00 min, the return never seen in the bucket" },
  { "contact-short", "- chemical-seen lines=B6", "Terrace 6: static contact 0:00 of 20:00 min, full strength never seen" },
  { "contact-short", "~ 06:57 contact-ended => 06:55:59 contact-ended", "Terrace 6: static contact 19:59 of 20:00 min" },
  { "contact-short", "~ 06:51 contact-ended => 06:49 contact-ended", NULL },
  { "contact-short", "+ 06:36 cleaning-pump-off circuit=1\n+ 06:38 cleaning-pump-on circuit=1", NULL },

  { "contact-long", "~ 06:57 contact-ended => 08:36 contact-ended\n~ 06:57 rinse-started => 08:36 rinse-started",
    "Terrace 6: chemical in the line for 121:00 min, at most 120:00 min" },
  { "contact-long", "~ 06:57 contact-ended => 08:35 contact-ended\n~ 06:57 rinse-started => 08:35 rinse-started", NULL },

  { "flow-low", "~ flow_ml_min=4200 => flow_ml_min=3700", "Circuit 1: flow 3.70 L/min, at least 3.79 L/min" },
  { "flow-low", "~ flow_ml_min=4200 => flow_ml_min=3785", NULL },
  { "flow-low", PLAN_2 "+ 06:29 cleaning-pump-on circuit=2 flow_ml_min=100", NULL },

  { "strength-out-of-range", "~ percent_milli=2050 => percent_milli=1990", "mix K1: strength 1.99 % w/w, between 2.00 and 4.00 % w/w" },
  { "strength-out-of-range", "~ percent_milli=2050 => percent_milli=4001", "strength 4.00 %" },
  { "strength-out-of-range", "- strength-measured\n~ percent_milli=2000 => percent_milli=1900", "strength 1.90 %" },
  { "strength-out-of-range", ACID_AFTER_RINSE "\n+ 07:04 strength-measured batch=S1 percent_milli=499 basis=w/w method=drops known=measured",
    "mix S1: strength 0.50 % w/w, between 0.50 and 4.00 %" },
  { "strength-out-of-range", "~ percent_milli=2050 => percent_milli=2000", NULL },
  { "strength-out-of-range", "~ percent_milli=2050 => percent_milli=4000", NULL },
  { "strength-out-of-range", "~ percent_milli=2050 => percent_milli=0", "strength 0.00 %" },
  { "strength-out-of-range", "+ 06:28 solution-mixed batch=K9 product=lye lot=LY1 percent_milli=100 known=measured", NULL },
  { "strength-out-of-range", "+ 06:28 solution-mixed batch=N1 product=soap percent_milli=100 known=measured\n+ 06:40 chemical-in lines=A1 batch=N1", NULL },

  { "strength-not-known", "- strength-measured\n~ percent_milli=2000 => ", "mix K1: neither" },
  { "strength-not-known", "- strength-measured", NULL },

  { "strength-not-measured", "- strength-measured\n~ temperature_c_milli=40000 known=measured => known=accepted", "mix K1: strength accepted, not measured" },
  { "strength-not-measured", "~ temperature_c_milli=40000 known=measured => known=accepted", NULL },

  { "temperature-out-of-range", "~ temperature_c_milli=40000 => temperature_c_milli=26666", "mix K1: 26.7 C, between 26.7 and 43.3 C" },
  { "temperature-out-of-range", "~ temperature_c_milli=40000 => temperature_c_milli=50000", "mix K1: 50.0 C" },
  { "temperature-out-of-range", "~ temperature_c_milli=40000 => temperature_c_milli=26667", NULL },
  { "temperature-out-of-range", "~ temperature_c_milli=40000 => temperature_c_milli=43333", NULL },
  { "temperature-out-of-range", "+ 06:28 solution-mixed batch=K9 product=lye lot=LY1 temperature_c_milli=9000 known=measured", NULL },

  { "temperature-not-known", "~ temperature_c_milli=40000 => ", "mix K1: its temperature is not on record" },
  { "temperature-not-known", "~ temperature_c_milli=40000 => \n+ 06:26 temperature-read of=solution batch=K1 temperature_c_milli=38000 known=measured", NULL },

  { "lot-expired", "~ lot=LY1 => lot=LYOLD", "mix K1: lot 601 expired on 2026-03-01" },
  { "lot-expired", "~ lot=LY1 => lot=LYBAD", NULL },
  { "lot-expired", "~ lot=LY1 => lot=LYDAY", NULL },

  { "rinse-ph-off", "~ ph_milli=7520 => ph_milli=7701", "Front bar 4: outlet pH 7.70, tap water pH 7.40, at most 0.30 apart" },
  { "rinse-ph-off", "~ ph_milli=7520 instrument=meter => ph_milli=7701", "at most 0.30 apart" },
  { "rinse-ph-off", "~ ph_milli=7520 instrument=meter => ph_milli=8401 instrument=strip", "at most 1.00 apart" },
  { "rinse-ph-off", "~ ph_milli=7520 => ph_milli=7099", "outlet pH 7.10" },
  { "rinse-ph-off", "~ ph_milli=7520 => ph_milli=7700", NULL },
  { "rinse-ph-off", "~ ph_milli=7520 instrument=meter => ph_milli=8400 instrument=strip", NULL },
  { "rinse-ph-off", "~ ph_milli=7520 => ph_milli=9000\n+ 07:03 ph-read of=outlet lines=A2,A4 ph_milli=7500 known=measured", NULL },
  { "rinse-ph-off", "- of=tap", NULL },

  { "rinse-ph-not-measured", "~ ph_milli=7400 instrument=meter known=measured => ph_milli=7400 known=estimated", "the tap water's pH is estimated" },
  { "rinse-ph-not-measured", "~ ph_milli=7450 instrument=meter known=measured => ph_milli=7450 known=accepted", "Terrace 6: the outlet's pH is accepted" },
  { "rinse-ph-not-measured", "+ 07:02 ph-read of=tap ph_milli=7400 known=estimated", NULL },

  { "tap-ph-missing", "- of=tap", "the tap water's pH was not read in this visit" },
  { "tap-ph-missing", "~ 06:28 ph-read => 07:20 ph-read", NULL },

  { "debris-left", "~ debris=none => debris=some", "Front bar 2: the rinse water still carried debris: some" },
  { "debris-left", "+ 06:58 debris-seen lines=A2,A4,B6 debris=heavy", NULL },

  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read", "Front bar 2: its pH was not read again after Terrace 6 was flushed through the same joint at 06:57" },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read\n~ 07:08 ends-parted ends=keg => 06:57 ends-parted ends=keg", NULL },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:57 ph-read", NULL },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read\n~ chemical-in circuit=1 => chemical-in lines=A4\n"
    "~ chemical-seen circuit=1 => chemical-seen lines=A4", "Front bar 4: its pH was not read again" },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read\n- chemical-in lines=B6\n- chemical-seen lines=B6\n- contact-ended lines=B6", NULL },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read\n~ ,\"fed_by\":1 => ", NULL },
  { "circuit-ph-not-again", "~ 07:02 ph-read => 06:56 ph-read\n- rinse-started lines=B6", NULL },

  { "rinse-not-circulated", "- rinse-circulated", "Circuit 1: its rinse water was not circulated" },
  { "rinse-not-circulated", "- rinse-circulated\n- rinse-started circuit", NULL },

  { "faucet-not-stripped", "- 06:40 faucet-stripped", "Front bar 2: cleaned, its faucet not stripped" },
  { "faucet-not-stripped", "- 06:40 faucet-stripped\n" OUT ("A2,A4", "rinsed"), NULL },

  { "fob-not-flooded", "- fob-flooded\n- fob-rinsed", "Terrace 6: its FOB opened and not flooded" },
  { "fob-not-flooded", "- fob-flooded\n- fob-opened", "Terrace 6: cleaned, its FOB neither" },
  { "fob-not-flooded", "- fob-flooded\n+ 06:45 fob-stripped lines=A4,B6", NULL },

  { "fob-not-vented", "- fob-vented", "Front bar 4: its FOB was opened and not vented" },
  { "fob-not-vented", "- fob-vented\n- fob-opened\n- fob-flooded", NULL },
  { "fob-not-vented", "- fob-vented\n- fob-opened", "Front bar 4: its FOB was opened and not vented" },

  { "coupler-not-brushed", "- coupler-brushed", "Front bar 2: cleaned, its coupler not brushed" },
  { "coupler-not-brushed", "~ coupler-brushed => coupler-stripped", NULL },

  { "valve-well-not-dried", "- valve-well-dried", "Front bar 2: keg coupled, its valve well not dried" },
  { "valve-well-not-dried", "- valve-well-dried\n- keg-coupled", NULL },

  { "beer-not-clear-twice", "- 07:16 beer-clear", "Front bar 2: beer drawn clear 1 of 2 times" },
  { "beer-not-clear-twice", "~ 07:15 fob-vented => 07:20 fob-vented", "Front bar 4: beer drawn clear 2 times, not both before and after" },
  { "beer-not-clear-twice", "- fob-vented", NULL },

  { "leak-found", "~ result=tight => result=leak", "Front bar 2: a leak was found" },
  { "leak-found", "+ 07:10 leak-checked lines=A2 result=leak", NULL },

  { "solution-not-disposed", "- solution-disposed", "mix K1: no word" },
  { "solution-not-disposed", ACID_AFTER_RINSE, "mix S1: no word" },
  { "solution-not-disposed", "~ solution-disposed batch=K1 => solution-disposed", NULL },

  { "drain-ph", "~ ph_milli=10500 => ph_milli=11001", "pH 11.00 to the sewer, between 5.0 and 11.0" },
  { "drain-ph", "~ ph_milli=10500 => ph_milli=4999", "pH 5.00 to the sewer" },
  { "drain-ph", "~ ph_milli=10500 => ph_milli=11000", NULL },
  { "drain-ph", "~ ph_milli=10500 drain=sewer => ph_milli=12500 drain=carried-away", NULL },
  { "drain-ph", "~ ph_milli=10500 => ph_milli=5000", NULL },

  { "drain-ph-not-read", "~ ph_milli=10500 drain=sewer => drain=sewer", "its pH not read" },
  { "drain-ph-not-read", "~ ph_milli=10500 drain=sewer => drain=neutralised", NULL },

  { "static-long", "~ B6 => B5", "Terrace 5: cleaned static, 40.00 m long; static cleaning is advised up to 4.57 m" },
  { "static-long", "~ A2 => A1", NULL },
  { "static-long", PLAN_2 "+ 06:40 chemical-in lines=B7s batch=K1", "Front bar 17: cleaned static, 33.00 m long" },

  { "static-though-circuit", "+ 06:32 chemical-seen lines=A2 batch=K1 shut=yes", "Front bar 2: cleaned static, though planned in circuit 1" },
  { "static-though-circuit", "+ 06:32 chemical-seen lines=A2 batch=K1", NULL },

  { "acid-due", "* 2025-12-02 2026-03-01 2026-03-01", "Front bar 2: an acid clean is due since 2026-03-02, the last was on 2025-12-02" },
  { "acid-due", "* - - -", "Terrace 6: an acid clean is due: none is on record" },
  { "acid-due", "* 2025-12-03 - -", NULL },
  { "acid-due", "* - - -\n~ product=lye lot=LY1 => product=sour lot=SO1", NULL },
  { "acid-due", "* - - -\n" OUT ("A2,A4,B6", "rinsed"), NULL },

  { "strip-due", "* - 2025-09-02 2026-03-01", "Terrace 6: stripping its FOB is due since 2026-03-02, the last was on 2025-09-02" },
  { "strip-due", "* - 2026-03-01 2025-09-02", "Front bar 2: stripping its coupler is due since 2026-03-02" },
  { "strip-due", "* - 2025-09-03 2025-09-03", NULL },
  { "strip-due", "* - - -\n~ coupler-brushed => coupler-stripped\n+ 06:46 fob-stripped lines=A4,B6", NULL },

  { "not-in-scope", "~ caustic lines=A2,A4,B6 => caustic lines=A4,B6", "Front bar 2: had a caustic clean that no scope names" },
  { "not-in-scope", "~ caustic lines=A2,A4,B6 => caustic lines=A4,B6\n+ 06:09 scope clean=caustic lines=A2", NULL },

  { "pump-not-recorded", "- cleaning-pump", "Circuit 1: its contact was counted with no word" },
  { "pump-not-recorded", "- cleaning-pump-off", NULL },

  { "beer-temperature-off", "~ temperature_c_milli=3300 => temperature_c_milli=3890", "Front bar 2: beer at 3.9 C, aimed for 3.3 C within 0.6 C" },
  { "beer-temperature-off", "~ temperature_c_milli=3300 => temperature_c_milli=3889", NULL },
  { "beer-temperature-off", "~ temperature_c_milli=3300 => temperature_c_milli=-1040", "Front bar 2: beer at -1.0 C" },
  { "beer-temperature-off", "~ temperature_c_milli=3300 => temperature_c_milli=-40", "Front bar 2: beer at 0.0 C" },

  { "pressure-high", "~ pressure_pa=200000 => pressure_pa=450000", "Front bar 4: beer pump pressure 450 kPa, at most 414 kPa" },
  { "pressure-high", "~ pressure_pa=200000 => pressure_pa=414000", NULL },

  { "pour-rate-off", "~ pour_ml_min=3500 => pour_ml_min=2661", "Front bar 2: pours 2661 mL/min, aimed for 3549 mL/min within 25 %" },
  { "pour-rate-off", "~ pour_ml_min=3500 => pour_ml_min=2662", NULL },
};
/* clang-format on */
