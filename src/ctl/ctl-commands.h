/* ctl-commands.h: the commands, one function each, in the file that bears its name. */
#pragma once

#include "ctl-context.h"

G_BEGIN_DECLS

TdCtlStatus td_ctl_new (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_demo (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_export (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_import (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_record (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_visits (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_report (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_labels (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_linemap (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_due (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_invoice (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_check (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_bundle (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_backup (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_restore (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_settings (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_mix (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_balance (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_diagnose (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_strength (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_network (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_stock (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_audit (const TdCtlInfo *info, int argc, char **argv);
TdCtlStatus td_ctl_plan (const TdCtlInfo *info, int argc, char **argv);

G_END_DECLS
