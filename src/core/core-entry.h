/* core-entry.h: one entry of the journal: the envelope and the body.
 *
 * Immutable and reference counted.  The envelope says who did what, when it happened (what the person
 * says) and when it was written down (the machine's, never editable).  The body is canonical JSON, kept
 * as the very bytes that were first written and never encoded anew. */
#pragma once

#include "core-json.h"
#include "core-kind.h"
#include "core-time.h"
#include "core-uuid.h"

G_BEGIN_DECLS

/* Version of the bodies' format that this program writes. */
#define TD_ENTRY_VERSION 1

typedef struct
{
  TdUuid visit;
  guint seq; /* from 1, without gaps */
  TdKind kind;
  int version;
  TdMoment happened;
  char *zone; /* IANA name of the site's zone, as known when it was written down */
  gint64 recorded_ms;  /* the machine's UTC clock, milliseconds */
  char *boot_id;       /* identifies the machine's run; boot times compare only within one */
  gint64 boottime_ms;  /* CLOCK_BOOTTIME, milliseconds: counts through suspend */
  char *person;        /* technician's id, or a name that the book does not know */
  TdUuid device;
} TdEnvelope;

typedef struct _TdEntry
{
  TdEnvelope envelope;
  char *body_text; /* canonical bytes */
  TdJson *body;    /* the same, read */
} TdEntry;

/* @body: an object of integers, strings, arrays and objects; made canonical here. @envelope is copied.
 * Returns: (transfer full): the entry, or NULL with TD_ERROR_SHAPE. Does not check the fields of the
 * kind: that is td_kind_check_body(). */
TdEntry *td_entry_new (const TdEnvelope *envelope, const TdJson *body, GError **error);
/* From stored bytes, which must be canonical already (TD_ERROR_PARSE otherwise). */
TdEntry *td_entry_new_stored (const TdEnvelope *envelope, const char *body_text, GError **error);
TdEntry *td_entry_ref (TdEntry *entry);
void td_entry_unref (TdEntry *entry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdEntry, td_entry_unref)

/* What a writer hands in: an entry before the book adds seq, recorded time, boot and device. */
typedef struct
{
  TdUuid visit;
  TdKind kind;
  TdMoment happened;
  char *person;
  TdJson *body; /* canonicalisable object: fields of the kind only */
} TdDraft;

/* Reads one line of `record`: {"visit": UUID, "kind": ..., "happened": ..., "person": ..., fields}.
 * The fields are checked against the kind (td_kind_check_body). Errors name the field.
 * Returns: (transfer full): the draft or NULL. */
TdDraft *td_draft_from_json (const TdJson *line, GError **error);
TdDraft *td_draft_new (const TdUuid *visit, TdKind kind, const TdMoment *happened, const char *person,
                       TdJson *body);
/* Returns: (transfer full): the line that td_draft_from_json() reads back. */
TdJson *td_draft_to_json (const TdDraft *draft);
void td_draft_free (TdDraft *draft);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDraft, td_draft_free)

/* The envelope as the seal and the annex show it, canonical: {"boot":..,"boottime_ms":..,"device":..,
 * "happened_ms":..,"kind":..,"offset_min":..,"person":..,"recorded_ms":..,"seq":..,"version":..,
 * "visit":..,"zone":..}. (transfer full) */
char *td_envelope_to_canonical (const TdEnvelope *envelope);

/* The sealed text of a closed visit, whose SHA-256 (of exactly these bytes) is the seal:
 *   tundish-seal/1 LF
 *   previous SP (64 hex digits | "none") LF
 *   for each entry: envelope, canonical LF, body as stored LF
 * @entries: TdEntry, by seq, closing last.  (transfer full) */
char *td_seal_make_text (const char *previous_seal, const GPtrArray *entries);
/* Returns: (transfer full): 64 lower-case hex digits. */
char *td_seal_compute (const char *previous_seal, const GPtrArray *entries);

G_END_DECLS
