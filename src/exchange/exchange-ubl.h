/* exchange-ubl.h: an issued invoice as an electronic one: EN 16931-1:2017 in the syntax of UBL 2.1.
 *
 * Business rules are named as the published validation artefacts of EN 16931 name them (BR-02, BR-CO-10,
 * BR-S-05, ...); their meaning is that of the standard.  What the writer cannot break by its make (a line
 * always has an identifier, BR-21) has no check.  Extensions of countries and networks are not claimed. */
#pragma once

#include "core-invoice.h"

G_BEGIN_DECLS

/* EN 16931-1 BT-24: the core, without any restriction of it. */
#define TD_UBL_SPECIFICATION "urn:cen.eu:en16931:2017"

typedef struct
{
  char *rule;  /* "BR-09" */
  char *place; /* "the seller", "line 3", ... */
  char *text;  /* what is wrong, and the remedy */
} TdUblProblem;

/* Returns: (transfer full) (element-type TdUblProblem): every rule that the invoice breaks, in the order of
 * its parts; empty where it breaks none. */
GPtrArray *td_ubl_check (const TdInvoice *invoice);

/* Writes the invoice (UBL Invoice) or credit note (UBL CreditNote).
 * Returns: (transfer full): the XML, or NULL with TD_ERROR_SHAPE: the number and the first problem on the
 * first line, each further problem on a line of its own. */
char *td_ubl_write (const TdInvoice *invoice, GError **error);

/* Returns: (transfer full) (element-type utf8): codes of all rules that td_ubl_check() may name. */
GPtrArray *td_ubl_list_rules (void);

G_END_DECLS
