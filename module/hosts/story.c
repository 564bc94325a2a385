/* SPDX-License-Identifier: MIT */
#include "hosts/story.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/flow.h"
#include "hosts/local_time.h"
#include "physics/calendar.h"

enum { LABEL_COLUMN = 14, LABEL_WIDTH = 14 };

enum reasons { EVERY_REASON, FIRST_OF_ITS_KIND, NO_REASON };

enum interest { ALL_BUT_SWITCHING, NO_JOBS, STATES_THAT_ASK };

/* How briefly the story is told. */
struct brevity {
    enum interest interest;
    int64_t window_s; /* like events within the same one are told together */
    enum reasons reasons;
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

/* Heaters are told by their sums: each on and off would drown the rest. */
static bool is_of_interest(const ow_event *event, enum interest interest)
{
    bool is_state = strcmp(event->event, "state") == 0;
    bool is_job = strcmp(event->event, "job") == 0 || strcmp(event->event, "done") == 0;
    bool asks = is_state && strncmp(event->detail, "hold", 4) != 0;
    switch (interest) {
    case ALL_BUT_SWITCHING:
        return strcmp(event->event, "would switch") != 0;
    case NO_JOBS:
        return is_of_interest(event, ALL_BUT_SWITCHING) && !is_job;
    case STATES_THAT_ASK:
        return asks;
    }
    return true;
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

/* The subjects of the events like `first` in its window, each once; marks the events told. */
static void tell_subjects(ow_flow *flow, const ow_event_log *log, int first,
                          const struct brevity *brevity, bool *told)
{
    const ow_event *event = &log->item[first];
    int64_t window = window_of(event, brevity);
    for (int i = first; i < log->count && window_of(&log->item[i], brevity) == window; i++) {
        if (!alike(event, &log->item[i])) {
            continue;
        }
        told[i] = true;
        if (!came_before(log, first, i, log->item[i].subject)) {
            ow_flow_put(flow, i == first ? "" : ",", 0);
            ow_flow_words(flow, log->item[i].subject);
        }
    }
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
    bool wanted = brevity->reasons == EVERY_REASON ||
                  (brevity->reasons == FIRST_OF_ITS_KIND && !came_before(log, 0, first, NULL));
    if (wanted && reason_of(event)[0] != '\0') {
        flow->indent = LABEL_COLUMN + 2;
        ow_flow_words(flow, reason_of(event));
        ow_flow_end(flow);
    }
}

/* Tells until the lines are used up; returns how many events were left out. */
static int tell(FILE *file, const ow_event_log *log, const struct brevity *brevity, int most_lines,
                bool *told, int *lines)
{
    ow_flow flow = {.file = file};
    int left_out = 0;
    for (int i = 0; i < log->count; i++) {
        told[i] = !is_of_interest(&log->item[i], brevity->interest);
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

void ow_story_tell(FILE *file, const ow_event_log *log, int most_lines)
{
    static const struct brevity ways[] = {
        {ALL_BUT_SWITCHING, OW_HOUR_S, EVERY_REASON},
        {ALL_BUT_SWITCHING, OW_DAY_S, EVERY_REASON},
        {ALL_BUT_SWITCHING, OW_DAY_S, FIRST_OF_ITS_KIND},
        {NO_JOBS, OW_DAY_S, FIRST_OF_ITS_KIND},
        {STATES_THAT_ASK, OW_DAY_S, FIRST_OF_ITS_KIND},
        {STATES_THAT_ASK, OW_DAY_S, NO_REASON},
        {STATES_THAT_ASK, 7 * OW_DAY_S, FIRST_OF_ITS_KIND},
        {STATES_THAT_ASK, 7 * OW_DAY_S, NO_REASON},
    };
    enum { WAYS = sizeof ways / sizeof ways[0] };
    bool *told = calloc((size_t)log->count + 1, sizeof *told);
    if (told == NULL) {
        fputs("(no memory to tell the story; it is in events.csv)\n", file);
        return;
    }
    size_t way = 0;
    int lines = 0;
    while (way < WAYS &&
           (tell(NULL, log, &ways[way], most_lines, told, &lines) > 0 || lines > most_lines)) {
        way++;
    }
    bool fits = way < WAYS;
    int left_out = tell(file, log, &ways[fits ? way : WAYS - 1], fits ? most_lines : most_lines - 1,
                        told, &lines);
    if (left_out > 0) {
        fprintf(file, "and %d more in events.csv\n", left_out);
    }
    free(told);
}
