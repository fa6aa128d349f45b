/* wizard-journal.h: what stands in a visit's journal, without what differs from run to run: numbers of visits,
 * clocks, and the closing's snapshot. */
#pragma once

#include "core-visit.h"

/* "kind person body" of each entry, in order; of a closing without the body. (transfer full): char * */
GPtrArray *wizard_journal_of_visit (const TdVisit *visit);
/* The same of a file of lines for `tundishctl record`. */
GPtrArray *wizard_journal_of_file (const char *path);
/* Fails, naming the first entry that differs. */
void wizard_journal_assert_same (const GPtrArray *is, const GPtrArray *should_be);
/* Writes the visit as lines for `tundishctl record`, with its id replaced. */
void wizard_journal_write (const TdVisit *visit, const char *path);
/* The drafts of such a file, for the visit @visit (nullable: as the file says). (transfer full): TdDraft */
GPtrArray *wizard_journal_read (const char *path, const TdUuid *visit);
