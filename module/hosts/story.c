/* SPDX-License-Identifier: MIT */
#include "hosts/story.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/flow.h"
#include "hosts/local_time.h"
#include "physics/calendar.h"

enum { LABEL_COLUMN = 14, LABEL_WIDTH = 14, REASON_COLUMN = 4 };

enum reasons { EVERY_REASON, FIRST_OF_ITS_KIND, NO_REASON };

/* FIRST_STATES: each state of a plant once, the first time it comes to it. */
enum interest { ALL_BUT_SWITCHING, NO_JOBS, FIRST_STATES };

/* How briefly the story is told. */
struct brevity {
    enum interest interest;
    int64_t window_s; /* like events within the same one are told together */
    enum reasons reasons;
    bool cuts_names; /* as many names as the line holds, the others counted */
};

/* A detail begins with what happened; how much, when or why stands behind one of these. */
static size_t head_length(const ow_event *event)
{
    static const char *const ends[] = {": ", ", ", " by "};
    size_t length = strlen(event->detail);
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        const char *end = strstr(event->detail, ends[i]);
        size_t before = end == NULL ? length : (size_t)(end - event->detail);
        length = before < length ? before : length;
    }
    return length;
}

static const char *reason_of(const ow_event *event)
{
    const char *rest = event->detail + head_length(event);
    return strncmp(rest, ": ", 2) == 0 ? rest + 2 : "";
}

/* A change of state is told by the state alone. */
static void label_of(const ow_event *event, char *out, size_t size)
{
    int head = (int)head_length(event);
    if (strcmp(event->event, "state") == 0) {
        snprintf(out, size, "%.*s", head, event->detail);
    } else {
        snprintf(out, size, "%s%s%.*s", event->event, head > 0 ? ": " : "", head, event->detail);
    }
}

static int64_t window_of(const ow_event *event, const struct brevity *brevity)
{
    int64_t local_s = event->utc_s + ow_local_offset_s(NULL, event->utc_s);
    return (local_s - (local_s < 0 ? brevity->window_s - 1 : 0)) / brevity->window_s;
}

static bool alike(const ow_event *a, const ow_event *b)
{
    size_t head = head_length(a);
    return strcmp(a->event, b->event) == 0 && head == head_length(b) &&
           strncmp(a->detail, b->detail, head) == 0;
}

/* Has an event like this one come before, from `from` on, of the same subject or (NULL) of any? */
static bool came_before(const ow_event_log *log, int from, int index, const char *subject)
{
    for (int i = from; i < index; i++) {
        if (alike(&log->item[i], &log->item[index]) &&
            (subject == NULL || strcmp(subject, log->item[i].subject) == 0)) {
            return true;
        }
    }
    return false;
}

/* News is a state that the plant has not had before; that nothing is asked, only at the start. */
static bool is_news(const ow_event_log *log, int index)
{
    const ow_event *event = &log->item[index];
    bool holds = strncmp(event->detail, "hold", 4) == 0;
    return strcmp(event->event, "state") == 0 && !came_before(log, 0, index, event->subject) &&
           (!holds || event->utc_s == log->item[0].utc_s);
}

/* Heaters are told by their sums: each on and off would drown the rest. */
static bool is_of_interest(const ow_event_log *log, int index, enum interest interest)
{
    const char *event = log->item[index].event;
    switch (interest) {
    case ALL_BUT_SWITCHING:
        return strcmp(event, "would switch") != 0;
    case NO_JOBS:
        return is_of_interest(log, index, ALL_BUT_SWITCHING) && strcmp(event, "job") != 0 &&
               strcmp(event, "done") != 0;
    case FIRST_STATES:
        return is_news(log, index);
    }
    return true;
}

/* The subjects of the events like `first` in its window, each once; marks the events told. Told
 * briefly, those that the line has no room for are counted. */
static void tell_subjects(ow_flow *flow, const ow_event_log *log, int first,
                          const struct brevity *brevity, bool *told)
{
    enum { ROOM_TO_COUNT = 14 };
    const ow_event *event = &log->item[first];
    int64_t window = window_of(event, brevity);
    int unnamed = 0;
    for (int i = first; i < log->count && window_of(&log->item[i], brevity) == window; i++) {
        if (told[i] || !alike(event, &log->item[i])) {
            continue;
        }
        told[i] = true;
        const char *subject = log->item[i].subject;
        int end = flow->column + 2 + ow_flow_columns(subject);
        if (came_before(log, first, i, subject)) {
            continue;
        }
        if (unnamed > 0 ||
            (brevity->cuts_names && i > first && end + ROOM_TO_COUNT > OW_FLOW_WIDTH)) {
            unnamed++;
        } else {
            ow_flow_put(flow, i == first ? "" : ",", 0);
            ow_flow_words(flow, subject);
        }
    }
    if (unnamed > 0) {
        char more[32];
        snprintf(more, sizeof more, "and %d more", unnamed);
        ow_flow_words(flow, more);
    }
    ow_flow_end(flow);
}

/* The reason of a group is that of its first plant. */
static void tell_reason(ow_flow *flow, const ow_event *event)
{
    flow->indent = REASON_COLUMN;
    ow_flow_words(flow, event->subject);
    ow_flow_put(flow, ":", 0);
    ow_flow_words(flow, reason_of(event));
    ow_flow_end(flow);
}

static void tell_group(ow_flow *flow, const ow_event_log *log, int first,
                       const struct brevity *brevity, bool *told)
{
    const ow_event *event = &log->item[first];
    char time[OW_LOCAL_TEXT], label[128];
    label_of(event, label, sizeof label);
    flow->indent = LABEL_COLUMN + LABEL_WIDTH;
    ow_flow_put(flow, ow_local_short(event->utc_s, time), LABEL_COLUMN);
    ow_flow_put(flow, label, LABEL_WIDTH);
    ow_flow_put(flow, "", ow_flow_columns(label) >= LABEL_WIDTH ? 1 : 0);
    tell_subjects(flow, log, first, brevity, told);
    bool asks = strcmp(event->event, "state") != 0 || strncmp(event->detail, "hold", 4) != 0;
    bool wanted = brevity->reasons == EVERY_REASON || (brevity->reasons == FIRST_OF_ITS_KIND &&
                                                       asks && !came_before(log, 0, first, NULL));
    if (wanted && reason_of(event)[0] != '\0') {
        tell_reason(flow, event);
    }
}

/* Tells until the lines are used up; returns how many events were left out that are news. */
static int tell(FILE *file, const ow_event_log *log, const struct brevity *brevity, int most_lines,
                bool *told, int *lines)
{
    ow_flow flow = {.file = file};
    int left_out = 0;
    for (int i = 0; i < log->count; i++) {
        told[i] = !is_of_interest(log, i, brevity->interest);
    }
    for (int i = 0; i < log->count; i++) {
        if (!told[i] && flow.lines < most_lines) {
            tell_group(&flow, log, i, brevity, told);
        }
        left_out += told[i] ? 0 : 1;
    }
    *lines = flow.lines;
    return left_out;
}

static int untold(const ow_event_log *log, enum interest interest, int left_out)
{
    int count = left_out;
    for (int i = 0; i < log->count; i++) {
        count += is_of_interest(log, i, interest) ? 0 : 1;
    }
    return count;
}

/* From everything to next to nothing; the first that fits is taken. */
static const struct brevity ways[] = {
    {ALL_BUT_SWITCHING, OW_HOUR_S, EVERY_REASON, false},
    {ALL_BUT_SWITCHING, OW_DAY_S, EVERY_REASON, false},
    {ALL_BUT_SWITCHING, OW_DAY_S, FIRST_OF_ITS_KIND, false},
    {NO_JOBS, OW_DAY_S, FIRST_OF_ITS_KIND, false},
    {FIRST_STATES, OW_DAY_S, EVERY_REASON, false},
    {FIRST_STATES, OW_DAY_S, FIRST_OF_ITS_KIND, false},
    {FIRST_STATES, OW_DAY_S, FIRST_OF_ITS_KIND, true},
    {FIRST_STATES, 7 * OW_DAY_S, FIRST_OF_ITS_KIND, true},
    {FIRST_STATES, 7 * OW_DAY_S, NO_REASON, true},
};
enum { WAYS = sizeof ways / sizeof ways[0] };

void ow_story_tell(FILE *file, const ow_event_log *log, int most_lines)
{
    bool *told = calloc((size_t)log->count + 1, sizeof *told);
    if (told == NULL) {
        fputs("(no memory to tell the story; it is in events.csv)\n", file);
        return;
    }
    /* The last line is kept for the count of what is left out. */
    int way = 0, lines = 0, room = most_lines - 1;
    while (way < WAYS - 1 &&
           (tell(NULL, log, &ways[way], room, told, &lines) > 0 || lines > room)) {
        way++;
    }
    int more = untold(log, ways[way].interest, tell(file, log, &ways[way], room, told, &lines));
    if (more > 0) {
        fprintf(file, "and %d more in events.csv\n", more);
    }
    free(told);
}
