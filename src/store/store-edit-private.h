/* store-edit-private.h: one row of master data between its object and the book, within a write. */
#pragma once

#include "core-account.h"
#include "core-masters.h"
#include "core-site.h"
#include "store-edit.h"

G_BEGIN_DECLS

/* What a row is written from; one member is set. */
typedef struct
{
  TdMasters *masters;
  TdAccount *account;
  TdSite *site;
} TdMasterDraft;

void td_master_draft_clear (TdMasterDraft *draft);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdMasterDraft, td_master_draft_clear)

/* The checks of the file's reader; @draft is filled, to be cleared either way. */
gboolean td_master_draft_read (TdMasterKind kind, const TdJson *json, TdMasterDraft *draft, GError **error);

G_END_DECLS
