/* visit-hand.h: does a visit act by act as the wizard leads, in memory: each act becomes the entries that the
 * wizard would hand in, and the visit is folded anew.
 *
 * What a technician's hand does is counted as the window asks for it: one tap for an act that a tap says
 * all of, or for a list that is confirmed as a whole; where a form asks for more, one to open it, unless
 * it opens of itself, one for each choice, one for each typed field after the first (which has the focus),
 * one to commit where nothing was typed (else the Enter key ends it). */
#pragma once

#include "model-steps.h"

typedef struct
{
  TdVisitContext context;
  GPtrArray *entries; /* TdEntry */
  TdVisit *visit;
  gint64 now_ms;
  const char *person;
  TdHabits *habits; /* NULL: nobody was here before */
  gboolean bulk; /* confirms lists as a whole */
  guint taps;
  guint typed;   /* fields filled in by keys */
  guint words;   /* of these, such as are no figures */
  GString *log;  /* what each tap was for */
} VisitHand;

/* A day of the tests: 2026-03-02T06:00:00Z (1772409600 by GNU date, and six hours). */
#define HAND_BEGIN_MS G_GINT64_CONSTANT (1772431200000)

/* @site: a site sheet below tests/; the company is that of data/demo. The visit has begun. */
VisitHand *visit_hand_new (const char *site);
void visit_hand_free (VisitHand *hand);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (VisitHand, visit_hand_free)

TdStepView visit_hand_view (VisitHand *hand);
/* Appends an entry; fails where it does not fit. @body: (transfer full). */
void visit_hand_add (VisitHand *hand, TdKind kind, TdJson *body);
/* The same from text: {"lines": ["A1"]}. */
void visit_hand_add_text (VisitHand *hand, TdKind kind, const char *body);
/* Does an act by one tap, or by its form with answers that a routine visit has. @chosen: (nullable). */
void visit_hand_do (VisitHand *hand, TdAct *act, const GArray *chosen);
/* Goes on until @step is the current one, or to the closing with TD_N_STEPS. */
void visit_hand_work_to (VisitHand *hand, TdStep step);
/* The open act with that key; fails where there is none. (transfer full) */
TdAct *visit_hand_get_act (VisitHand *hand, const char *key);
guint visit_hand_outlet (VisitHand *hand, const char *id);
/* Lets the clock run. */
void visit_hand_wait (VisitHand *hand, guint minutes);
