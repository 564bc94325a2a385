/* SPDX-License-Identifier: MIT */
#include "people/sheet.h"

#include <stdio.h>
#include <string.h>

#include "people/quiet.h"

static const ow_utc_s LASTS_S = OW_HOUR_S; /* a hub that was away then says it still */
enum { MINUTE_S = 60, ENDING = 60 };       /* room for what is said last */

static const struct {
    const char *word, *opens;
    int default_min;
} sheets[OW_SHEETS] = {
    [OW_SHEET_MORNING] = {"morning", "This morning.", 7 * 60},
    [OW_SHEET_EVENING] = {"evening", "For tonight.", 17 * 60},
};

static int minute_of(const ow_member *member, ow_sheet sheet)
{
    int minute = sheet == OW_SHEET_MORNING ? member->quiet.until_min : member->hands.from_min;
    bool given = sheet == OW_SHEET_MORNING ? member->quiet.from_min >= 0 : minute >= 0;
    return given ? minute : sheets[sheet].default_min;
}

bool ow_sheet_due(const ow_member *member, ow_sheet sheet, const ow_local *local, ow_utc_s last_s,
                  ow_utc_s now_s)
{
    int64_t local_s = now_s + local->utc_offset_s(local->self, now_s);
    int64_t midnight = local_s - (local_s % OW_DAY_S + OW_DAY_S) % OW_DAY_S;
    ow_utc_s at_s = ow_local_last_s(local, midnight + minute_of(member, sheet) * MINUTE_S);
    bool hears = (member->hears & (1u << OW_HEARS_SHEETS)) != 0;
    return hears && now_s >= at_s && now_s < at_s + LASTS_S && last_s < at_s;
}

void ow_sheet_id(const ow_member *member, ow_sheet sheet, char id[OW_NOTICE_ID])
{
    snprintf(id, OW_NOTICE_ID, OW_NOTICE_MEMBER "%s-%s", member->id, sheets[sheet].word);
}

/* One job; false, and nothing written, when it does not fit. */
static bool put_line(char *text, size_t room, int number, const ow_sheet_line *line, bool why,
                     const ow_local *local)
{
    char when[OW_WHEN_TEXT], by[OW_WHEN_TEXT + 8] = "";
    size_t used = strlen(text);
    why = why && line->why[0] != '\0';
    if (line->late) {
        snprintf(by, sizeof by, " at once, it is late");
    } else if (line->by_s != OW_NEVER) {
        snprintf(by, sizeof by, " by %s", ow_when(local, line->by_s, when));
    }
    int length =
        snprintf(text + used, room - used, " %d. %s: %s%s.%s%.*s", number, line->name, line->what,
                 by, why ? " " : "", why ? ow_first_sentence(line->why) : 0, line->why);
    bool fits = length >= 0 && (size_t)length < room - used;
    text[fits ? used + (size_t)length : used] = '\0';
    return fits;
}

void ow_sheet_write(const ow_member *member, ow_sheet sheet, const char *tonight,
                    const ow_sheet_line *lines, int n, const ow_local *local, ow_notice *notice)
{
    *notice = (ow_notice){.urgency = OW_HEARS_SHEETS, .act_by_s = OW_NEVER, .cleared_s = OW_NEVER};
    ow_sheet_id(member, sheet, notice->id);
    snprintf(notice->subject, sizeof notice->subject, OW_NOTICE_MEMBER "%s", member->id);
    snprintf(notice->text, sizeof notice->text, "%s %.*s", sheets[sheet].opens,
             ow_first_sentence(tonight), tonight);
    int minutes = 0, told = 0;
    for (int i = 0; i < n; i++) {
        minutes += lines[i].minutes;
    }
    while (told < n && put_line(notice->text, sizeof notice->text - ENDING, told + 1, &lines[told],
                                sheet == OW_SHEET_EVENING, local)) {
        told++;
    }
    size_t used = strlen(notice->text);
    if (told < n) {
        snprintf(notice->text + used, sizeof notice->text - used, " And %d more; %d min in all.",
                 n - told, minutes);
    } else {
        snprintf(notice->text + used, sizeof notice->text - used, " %d min in all.", minutes);
    }
}
