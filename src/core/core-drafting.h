/* core-drafting.h: from works and agreements to drafts of invoices, one account at a time.
 *
 * What a visit costs, in this order: the visit, a call-out, each tower with a cleaned line, each cleaned line
 * and clean, minutes beyond those included (services); out of hours, a fixed sum and a percentage of the
 * services; the discount, a percentage of services and out-of-hours; what is missing up to the minimum;
 * chemicals, in litres of concentrate at cost and markup (the price of a litre rounded once); parts.
 * Percentages are taken of each payer's and each tax rate's part by itself and rounded once.  Of a visit
 * without charge, or as far as a contract covers it, a line of nothing says so. */
#pragma once

#include "core-invoice.h"
#include "core-work.h"

G_BEGIN_DECLS

typedef struct _TdDrafting TdDrafting;

TdDrafting *td_drafting_new (const char *account_id, const char *account);
void td_drafting_free (TdDrafting *drafting);
/* What payers with an account of their own pay goes to @collective from now on, a drafting of all accounts; their
 * lines then name the account that the work was done for. @collective: (transfer none), must live as long. */
void td_drafting_set_collective (TdDrafting *drafting, TdDrafting *collective);
/* A drafting of all accounts. An invoice's account is the payer's there, by name; its account_id is the name, too,
 * until the caller gives it its own. (transfer full) */
TdDrafting *td_drafting_new_collective (void);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDrafting, td_drafting_free)

/* Prices a visit by the agreement of its day.  @done: (nullable) (array zero-terminated=1): ids of payers
 * that have been invoiced for it already.  FALSE with TD_ERROR_REFERENCE where the agreement has no price
 * for a part or the report no amount of a chemical, or TD_ERROR_RANGE; nothing of the visit is kept then. */
gboolean td_drafting_add_work (TdDrafting *drafting, const TdAgreement *agreement, const TdWork *work,
                               const char *const *done, GError **error);
/* Adds the flat price of a month of a contract, with what is taken off for visits not made.
 * @month: its first day. @made: routine visits of the month. */
gboolean td_drafting_add_month (TdDrafting *drafting, const TdAgreement *agreement, TdDate month, guint made,
                                GError **error);
/* Returns: (transfer full) (element-type TdInvoice): drafts by their first day, then by payer, and leaves
 * @drafting empty; NULL with TD_ERROR_RANGE. */
GPtrArray *td_drafting_finish (TdDrafting *drafting, GError **error);

/* Who pays something of a visit. @error as of td_drafting_add_work(). Returns: (transfer full)
 * (element-type utf8): ids, each once, or NULL. */
GPtrArray *td_drafting_list_payers (const TdAgreement *agreement, const TdWork *work, GError **error);
/* Id of the payer of the contract's flat price. */
const char *td_drafting_get_month_payer (const TdAgreement *agreement);

G_END_DECLS
