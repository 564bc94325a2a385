/* SPDX-License-Identifier: MIT */
/* The morning and the evening sheet of each member, when their times come and there is work. */
#include <stdlib.h>

#include "hub/jobs.h"
#include "hub/live.h"
#include "people/sheet.h"

static int fill_lines(const ow_engine *e, const ow_job *jobs, int n, ow_sheet_line *lines)
{
    for (int i = 0; i < n; i++) {
        bool asked = jobs[i].plant >= 0 && jobs[i].chore < 0;
        lines[i] = (ow_sheet_line){.name = ow_job_name(e, &jobs[i]),
                                   .what = jobs[i].what,
                                   .why = asked ? e->judged[jobs[i].plant].reason : "",
                                   .by_s = jobs[i].by_s,
                                   .late = jobs[i].late,
                                   .minutes = jobs[i].minutes};
    }
    return n;
}

static void tell_sheet(ow_engine *e, int member, ow_sheet sheet)
{
    ow_live *l = e->live;
    int room = e->garden->plant_count * (1 + OW_CHORES) + 1;
    ow_job *jobs = calloc((size_t)room, sizeof *jobs);
    ow_sheet_line *lines = calloc((size_t)room, sizeof *lines);
    const char *tonight = ow_tree_value(l->tree, (ow_slot){OW_NODE_GARDEN, 0, OW_PROP_TONIGHT});
    bool whole = jobs != NULL && lines != NULL;
    int n = whole ? fill_lines(e, jobs, ow_jobs_all(e, jobs, room), lines) : 0;
    if (n > 0 && tonight != NULL) {
        ow_notice notice;
        ow_sheet_write(&e->garden->household[member], sheet, tonight, lines, n, &e->local, &notice);
        l->worth += ow_board_report(l->board, &notice, l->now.utc_ms / 1000) == OW_OK;
    }
    free(jobs);
    free(lines);
}

void ow_mind_sheets(ow_engine *e)
{
    ow_live *l = e->live;
    char id[OW_NOTICE_ID];
    for (int m = 0; m < e->garden->household_count && ow_live_has_judged(e); m++) {
        const ow_member *member = &e->garden->household[m];
        for (int sheet = 0; sheet < OW_SHEETS; sheet++) {
            ow_sheet_id(member, (ow_sheet)sheet, id);
            if (ow_sheet_due(member, (ow_sheet)sheet, &e->local, ow_board_raised_s(l->board, id),
                             l->now.utc_ms / 1000)) {
                tell_sheet(e, m, (ow_sheet)sheet);
            }
        }
    }
}
