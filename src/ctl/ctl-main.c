/* tundishctl: the same work as in the window, without a display. */
#include "ctl-commands.h"

#include <locale.h>
#include <stdio.h>
#include <string.h>

static const TdCtlCommand commands[] = {
  { { "new", "BOOK [--test]", "Make an empty service book", NULL }, td_ctl_new },
  { { "demo", "BOOK [--visits N] [--now TIME]", "Make a book of an invented company", NULL }, td_ctl_demo },
  { { "import", "FILE... [--preview] [--book FILE]",
      "Take in site sheets, company files, price agreements, the round and rows as CSV",
      "CSV: the first line names the columns, the keys of the company file, or of an account: name, address,\n"
      "contact, email, phone, note. Rows are found by id, accounts by name. A column that is not there stays as\n"
      "it is. --preview tells for each row what would be new, changed (old -> new), the same or refused, with its\n"
      "line, and writes nothing." },
    td_ctl_import },
  { { "record", "[--book FILE] < ENTRIES.jsonl", "Write journal entries, one a line",
      "Each line is one entry. 'ok N' is printed after the entry of line N is safe on the disk,\n"
      "'refused N: reason' where nothing of it was kept." },
    td_ctl_record },
  { { "visits", "[--book FILE] [--json]", "List the visits", NULL }, td_ctl_visits },
  { { "report", "VISIT [-o FILE.pdf | --json | --sealed-text]", "Write the service report of a visit", NULL },
    td_ctl_report },
  { { "due", "[--ics FILE | --day DATE --technician ID [-o FILE] | miss SITE ... | move SITE ...]",
      "List what is due and overdue, a technician's day, or write down a visit that was missed or moved", NULL }, td_ctl_due },
  { { "labels", "SITE -o FILE.pdf [--language TAG]", "Write the labels of a site's lockout tags",
      "One label for each faucet, to be folded over, with fields for signature, date and time; in the language of\n"
      "the site's staff. SITE is the site's id." },
    td_ctl_labels },
  { { "linemap", "SITE -o FILE.pdf [--language TAG]", "Write the map of a site's lines: faucet, beer, keg place",
      NULL },
    td_ctl_linemap },
  { { "stock", "receive|transfer|dispose|count|place|list|trace|moment|sheet|recall [options]", "Keep the stock of chemicals",
      "receive, transfer, dispose, count: --product, --lot, --amount-ml, --person, also --place, --to, --reason.\n"
      "Uses are taken from the mixes of visits. sheet: the safety data sheet of a product. recall: a lot that its maker\n"
      "calls back. trace: --lot, or --site and --line. moment: --site, --line, --at\n"
      "tells what was in a line and who held its outlet." },
    td_ctl_stock },
  { { "audit", "--from DATE --to DATE [--json | --csv FILE | -o FILE.pdf]", "Give the chemical account of a period",
      "closing = opening + received - used - disposed + adjusted, in mL of concentrate. A list of exceptions\n"
      "follows; each is acknowledged by its key. --extract --site SITE: the cleaning record of a site by the rules\n"
      "of its place, with what is missing." },
    td_ctl_audit },
  { { "invoice", "draft|issue|show|list|credit|pay|hold|waiting|statement|export|series [...] [--book FILE]",
      "Draft, issue and follow invoices",
      "draft [--account ID] [--until DATE] [--json] [-o FILE.pdf]   what has not been invoiced\n"
      "waiting [--json]                                             visits that cannot be drafted, and why\n"
      "issue --all | --account ID | --key KEY... [--until DATE] [--date DATE] [--json]\n"
      "show NUMBER [--json] [-o FILE.pdf [--with-reports]]\n"
      "list [--account ID] [--open | --overdue] [--json]\n"
      "credit NUMBER --reason TEXT [--line N]... [--again] [--date DATE] [--json]\n"
      "pay NUMBER --amount 12.50 [--date DATE] [--text TEXT]        negative: a payment that bounced\n"
      "hold VISIT --reason TEXT | hold VISIT --release\n"
      "statement ACCOUNT [--from DATE] [--to DATE] [--json] [-o FILE.pdf]\n"
      "export [--account ID] [--from DATE] [--to DATE] [-o FILE.json|FILE.csv|FILE.pdf]\n"
      "export --format ubl -o FOLDER, show NUMBER -o FILE.xml       electronic invoices (EN 16931, UBL 2.1)\n"
      "series [--prefix TEXT] [--here]                              numbers of invoices" },
    td_ctl_invoice },
  { { "export", "TABLE [--from DATE] [--to DATE] [--spreadsheet] [-o FILE.csv] | sheet SITE [-o FILE] | sheets -o FOLDER",
      "Write tables and site sheets for other programs",
      "Tables: accounts, lines, visits, invoices, invoice-lines, payments, chemicals, ledger. They are CSV (RFC 4180),\n"
      "UTF-8. --spreadsheet marks the text's encoding and keeps cells from being taken for formulas.\n"
      "ledger is double-entry bookkeeping, a row a posting; each entry is balanced. Its accounts' codes come from\n"
      "\"ledger\" in the company file. sheet writes what import takes." },
    td_ctl_export },
  { { "check", "[--book FILE]", "Verify everything that can be verified", NULL }, td_ctl_check },
  { { "bundle", "out FILE | in FILE | conflicts", "Carry closed visits and master data between books", NULL }, td_ctl_bundle },
  { { "backup", "BOOK COPY", "Copy a book while it is in use", NULL }, td_ctl_backup },
  { { "restore", "COPY BOOK [--replace]", "Make a book from a copy", NULL }, td_ctl_restore },
  { { "settings", "[KEY [VALUE]] [--site SITE] [--book FILE]", "Show or change the figures that govern the work",
      NULL },
    td_ctl_settings },
  { { "plan", "SITE.json [--pin WHAT=ID]... [--certificate FILE] [--text]", "Work out how to clean a site",
      "The outlook tells the hours of the work, when the chemical of each circuit has to be in before opening, the\n"
      "solution to mix, the rinse water and the beer lost." },
    td_ctl_plan },
  { { "network", "NET.json", "Work out the steady flow of a cleaning network", NULL }, td_ctl_network },
  { { "diagnose", "SITE.json --reading LINE,LINE...=L_MIN[:KPA[:LIFT_M]]...", "Tell which line explains a flow that was measured",
      "Readings of lines alone part the causes; one flow through a whole circuit never can, and that is said." },
    td_ctl_diagnose },
  { { "mix", "--concentrate PERCENT --target PERCENT (--water L | --total L) [--cold-c C --hot-c C --warm-c C] [--json]",
      "Work out a cleaning solution",
      "Always add chemical to water, never water to chemical. The label and the SDS decide." },
    td_ctl_mix },
  { { "strength", "--p-ml ML --m-ml ML | --drops COUNT --percent-per-drop PERCENT", "Work out the strength of a caustic solution",
      "With --have, --target and --concentrate also what to add where it is too weak." },
    td_ctl_strength },
  { { "balance", "--temperature-c C --volumes V --rise-m M --segment MATERIAL:BORE_MM:LENGTH_M...",
      "Work out pressure and pour rate of a beer line", NULL },
    td_ctl_balance },
};

static void
print_help (FILE *out)
{
  fputs ("Usage: tundishctl COMMAND [--book FILE] [options]\n\n", out);
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    fprintf (out, "  %-9s  %s\n", commands[i].info.command, commands[i].info.summary);
  fputs ("\n'tundishctl COMMAND --help' says more. Exit status: 0 done, 1 refused or found wanting, 2 wrong use.\n",
         out);
}

/* Tables are printed as they come: that all of them arrived is only known at the end. */
static int
finish (int status)
{
  if (fflush (stdout) == 0 && !ferror (stdout))
    return status;
  if (status == TD_CTL_DONE)
    fputs ("tundishctl: standard output could not be written to its end\n", stderr);
  return status == TD_CTL_DONE ? TD_CTL_REFUSED : status;
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  /* Texts speak the person's language; figures carry a point everywhere, as on paper and in files. */
  setlocale (LC_NUMERIC, "C");
  if (argc < 2)
    {
      print_help (stderr);
      return TD_CTL_WRONG_USE;
    }
  if (strcmp (argv[1], "--help") == 0 || strcmp (argv[1], "-h") == 0 || strcmp (argv[1], "help") == 0)
    {
      print_help (stdout);
      return finish (TD_CTL_DONE);
    }
  if (strcmp (argv[1], "--version") == 0)
    {
      puts ("tundishctl " TD_VERSION);
      return TD_CTL_DONE;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    if (strcmp (argv[1], commands[i].info.command) == 0)
      return finish ((int) commands[i].run (&commands[i].info, argc - 1, argv + 1));
  fprintf (stderr, "tundishctl: there is no command '%s'; 'tundishctl --help' lists them\n", argv[1]);
  return TD_CTL_WRONG_USE;
}
