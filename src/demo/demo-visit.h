/* demo-visit.h: an invented visit as the entries that a technician would have made.
 *
 * Everything follows from the site, the figures handed in and the seed: the same call gives the same
 * entries.  The visit goes the way of the trade: arrive, plan, make safe, mix, contact, rinse, put back,
 * check, sign; it may stop half-way, fall short, or be written down late. */
#pragma once

#include "core-entry.h"
#include "core-masters.h"
#include "core-site.h"

G_BEGIN_DECLS

typedef enum
{
  TD_DEMO_MAKE_SAFE = 2, /* stands after the tags and the gas */
  TD_DEMO_CONTACT = 4,   /* chemical stands in the lines */
  TD_DEMO_SIGN = 8       /* the whole visit, closed */
} TdDemoStage;

typedef struct
{
  const char *site_id;
  const TdSite *site;
  const TdMasters *masters;
  TdUuid visit;
  TdMoment start;
  const char *technician; /* id */
  gboolean acid;          /* an acid clean after the caustic one */
  guint64 seed;
  TdDemoStage until;
  gboolean short_contact; /* the first circuit or static line is ended early */
  gboolean late;          /* a few acts are written down half an hour after they happened */
  const char *fault_text; /* (nullable): a fault found on the first line in scope */
  const char *amends;     /* (nullable): id of the visit that this one corrects */
} TdDemoVisit;

/* The entries and, for each, when the machine noted it (UTC ms). */
typedef struct
{
  GPtrArray *drafts; /* TdDraft */
  GArray *recorded;  /* gint64 */
} TdDemoScript;

/* Returns: (transfer full): the script, or NULL with TD_ERROR where no plan can be made for the site. */
TdDemoScript *td_demo_visit_write (const TdDemoVisit *visit, GError **error);
void td_demo_script_free (TdDemoScript *script);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDemoScript, td_demo_script_free)

G_END_DECLS
