/* SPDX-License-Identifier: MIT */
#include "people/notice.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_text.h"
#include "people/quiet.h"

enum { NOBODY = -1, NONE = -1, EDITIONS_MOST = 1000000, MEMBER_ROOM = 66 };

/* One cause. An edition is one telling: the next one is told again. */
typedef struct cause {
    bool used;
    ow_notice notice;
    int edition;            /* from 1 */
    ow_hears worst_urgency; /* of the editions so far, and the earliest act_by */
    ow_utc_s earliest_s;
    int noticed_by;
} cause;

/* What one member was told last, and whether the topic no longer says what it should. */
typedef struct listener {
    int shown; /* cause; NONE */
    bool stale;
} listener;

struct ow_board {
    const ow_garden *garden;
    ow_local local;
    int room, members;
    bool changed; /* what stands, since it was last asked */
    cause *causes;
    listener *listeners;
    int *told; /* [cause * members + member]: edition; 0: never */
};

/* ---- the words ------------------------------------------------------------------------------- */

/* What is said when no act is at hand. */
static const ow_saying plain_words[OW_STATE_HOLD] = {
    [OW_STATE_NO_READING] = OW_SAY_SENSORS,    [OW_STATE_THAW_NEEDED] = OW_SAY_FIND_THAW,
    [OW_STATE_CARRY_IN] = OW_SAY_FIND_SHELTER, [OW_STATE_COVER_SOON] = OW_SAY_COVER_IT,
    [OW_STATE_THAWING] = OW_SAY_LEAVE_THAWING, [OW_STATE_WAIT_AND_SEE] = OW_SAY_LOOK_ALIVE,
    [OW_STATE_UNCOVER] = OW_SAY_UNCOVER,       [OW_STATE_CARRY_OUT] = OW_SAY_CARRY_HOME,
};
_Static_assert(OW_STATE_HOLD + 1 == OW_STATES, "all but hold has something to be done");

int ow_first_sentence(const char *text)
{
    const char *at = text;
    while (*at != '\0' && !(at[0] == '.' && (at[1] == ' ' || at[1] == '\0'))) {
        at++;
    }
    return (int)(at - text) + (*at == '.');
}

static void write_id(ow_notice *n, ow_state state)
{
    snprintf(n->id, sizeof n->id, "%s-%s", n->subject, ow_state_word(state));
    for (char *at = n->id; *at != '\0'; at++) {
        *at = *at == ' ' ? '-' : *at;
    }
}

static void say_otherwise(const ow_verdict *v, ow_speech *to)
{
    if (v->threat.any) {
        ow_speak_plain(to, v->threat.kills ? OW_SAY_ELSE_KILLED : OW_SAY_ELSE_HARMED);
    } else if (v->state == OW_STATE_THAW_NEEDED) {
        ow_speak_plain(to, OW_SAY_ELSE_DRY);
    }
}

/* That it is late is said here in its own place. */
static void say_why(ow_spoken reason, ow_speech *to)
{
    const char *late = ow_saying_english(OW_SAY_LATE);
    size_t length = strlen(late);
    bool is_late = strncmp(reason.text, late, length) == 0 && reason.text[length] == ' ';
    const char *why = is_late ? reason.text + length + 1 : reason.text;
    if (why[0] != '\0') {
        ow_speak_again(to, why, ow_first_sentence(why), reason.code, is_late);
    }
}

bool ow_notice_of_verdict(const ow_garden *garden, int plant, const ow_verdict *v, ow_spoken action,
                          ow_spoken reason, const ow_local *local, ow_notice *notice)
{
    const ow_plant *p = &garden->plants[plant];
    if (v->state >= OW_STATE_HOLD) {
        return false;
    }
    *notice = (ow_notice){
        .urgency = v->threat.any && v->threat.kills ? OW_HEARS_URGENT : OW_HEARS_JOBS,
        .act_by_s = v->act_by_s,
        .cleared_s = OW_NEVER,
    };
    snprintf(notice->subject, sizeof notice->subject, "%s", p->id);
    write_id(notice, v->state);
    ow_speech to = ow_notice_speech(notice, local);
    ow_blank name = ow_blank_name(p->name != NULL ? p->name : p->id);
    ow_blank what =
        ow_blank_spoken(action.text[0] != '\0' ? action : ow_saying_spoken(plain_words[v->state]));
    if (v->late) {
        OW_SPEAK(&to, OW_SAY_ASK_LATE, name, what);
    } else if (v->act_by_s != OW_NEVER) {
        OW_SPEAK(&to, OW_SAY_ASK_BY, name, what, ow_blank_at(v->act_by_s));
    } else {
        OW_SPEAK(&to, OW_SAY_ASK, name, what);
    }
    say_why(reason, &to);
    say_otherwise(v, &to);
    ow_utf8_mend(notice->text);
    return true;
}

ow_speech ow_notice_speech(ow_notice *n, const ow_local *local)
{
    return ow_speech_begin(local, " ", n->text, sizeof n->text, n->code, sizeof n->code);
}

/* ---- the board ------------------------------------------------------------------------------- */

ow_status ow_board_new(const ow_garden *garden, const ow_local *local, int room, ow_board **board)
{
    ow_board *b = calloc(1, sizeof *b);
    if (b == NULL) {
        return OW_NO_MEMORY;
    }
    *b = (ow_board){
        .garden = garden, .local = *local, .room = room, .members = garden->household_count};
    size_t causes = (size_t)room, members = (size_t)b->members;
    b->causes = calloc(causes + 1, sizeof *b->causes);
    b->listeners = calloc(members + 1, sizeof *b->listeners);
    b->told = calloc(causes * members + 1, sizeof *b->told);
    if (b->causes == NULL || b->listeners == NULL || b->told == NULL) {
        ow_board_free(b);
        return OW_NO_MEMORY;
    }
    for (int m = 0; m < b->members; m++) {
        b->listeners[m].shown = NONE;
    }
    *board = b;
    return OW_OK;
}

void ow_board_free(ow_board *b)
{
    if (b != NULL) {
        free(b->causes);
        free(b->listeners);
        free(b->told);
        free(b);
    }
}

static int *told_of(const ow_board *b, int i, int member)
{
    return &b->told[i * b->members + member];
}

static bool stands(const cause *c)
{
    return c->used && c->notice.cleared_s == OW_NEVER;
}

static int find(const ow_board *b, const char *id)
{
    for (int i = 0; i < b->room; i++) {
        if (b->causes[i].used && strcmp(b->causes[i].notice.id, id) == 0) {
            return i;
        }
    }
    return NONE;
}

/* An unused slot, else that of the cause that has been gone longest; NONE: all stand. */
static int find_room(const ow_board *b)
{
    int best = NONE;
    for (int i = 0; i < b->room; i++) {
        const cause *c = &b->causes[i];
        if (!c->used) {
            return i;
        }
        if (!stands(c) &&
            (best == NONE || c->notice.cleared_s < b->causes[best].notice.cleared_s)) {
            best = i;
        }
    }
    return best;
}

static void begin(ow_board *b, int i, const ow_notice *notice, ow_utc_s now_s)
{
    b->causes[i] = (cause){.used = true,
                           .notice = *notice,
                           .edition = 1,
                           .worst_urgency = notice->urgency,
                           .earliest_s = notice->act_by_s,
                           .noticed_by = NOBODY};
    b->causes[i].notice.raised_s = now_s;
    b->causes[i].notice.cleared_s = OW_NEVER;
    for (int m = 0; m < b->members; m++) {
        *told_of(b, i, m) = 0;
    }
    b->changed = true;
}

static void touch_shown(ow_board *b, int i)
{
    b->changed = true;
    for (int m = 0; m < b->members; m++) {
        b->listeners[m].stale |= b->listeners[m].shown == i;
    }
}

/* It came back: those who had been told see it again without being told again. */
static void come_back(ow_board *b, int i)
{
    b->causes[i].notice.cleared_s = OW_NEVER;
    b->changed = true;
    for (int m = 0; m < b->members; m++) {
        b->listeners[m].stale |= *told_of(b, i, m) > 0;
    }
}

static bool same_notice(const ow_notice *a, const ow_notice *b)
{
    return a->urgency == b->urgency && a->act_by_s == b->act_by_s &&
           strcmp(a->text, b->text) == 0 && strcmp(a->code, b->code) == 0;
}

static void go_on(ow_board *b, cause *c, const ow_notice *notice)
{
    b->changed = b->changed || !same_notice(&c->notice, notice);
    bool worse = notice->urgency < c->worst_urgency || /* urgent comes first in the enum */
                 notice->act_by_s < c->earliest_s - OW_NOTICE_EARLIER_S;
    ow_utc_s raised_s = c->notice.raised_s;
    c->notice = *notice;
    c->notice.raised_s = raised_s;
    c->notice.cleared_s = OW_NEVER;
    if (!worse || c->edition >= EDITIONS_MOST) {
        return;
    }
    c->edition++;
    c->noticed_by = NOBODY;
    c->worst_urgency = notice->urgency < c->worst_urgency ? notice->urgency : c->worst_urgency;
    c->earliest_s = notice->act_by_s < c->earliest_s ? notice->act_by_s : c->earliest_s;
}

ow_status ow_board_raise(ow_board *b, const ow_notice *notice, ow_utc_s now_s)
{
    int i = find(b, notice->id);
    if (i != NONE && !stands(&b->causes[i])) {
        ow_utc_s away_s = now_s - b->causes[i].notice.cleared_s;
        if (away_s > OW_NOTICE_LINGER_S) {
            begin(b, i, notice, now_s);
            return OW_OK;
        }
        come_back(b, i);
    }
    if (i != NONE) {
        go_on(b, &b->causes[i], notice);
        return OW_OK;
    }
    i = find_room(b);
    if (i == NONE) {
        return OW_FULL;
    }
    begin(b, i, notice, now_s);
    return OW_OK;
}

static void end(ow_board *b, int i, ow_utc_s now_s)
{
    b->causes[i].notice.cleared_s = now_s;
    touch_shown(b, i);
}

void ow_board_clear(ow_board *b, const char *id, ow_utc_s now_s)
{
    int i = find(b, id);
    if (i != NONE && stands(&b->causes[i])) {
        end(b, i, now_s);
    }
}

ow_status ow_board_settle(ow_board *b, const char *subject, const ow_notice *notice,
                          ow_utc_s now_s)
{
    for (int i = 0; i < b->room; i++) {
        const cause *c = &b->causes[i];
        bool other = notice == NULL || strcmp(c->notice.id, notice->id) != 0;
        if (stands(c) && other && strcmp(c->notice.subject, subject) == 0) {
            end(b, i, now_s);
        }
    }
    return notice != NULL ? ow_board_raise(b, notice, now_s) : OW_OK;
}

ow_status ow_board_noticed(ow_board *b, int member, const char *id)
{
    int i = find(b, id);
    if (i == NONE || !stands(&b->causes[i]) || member < 0 || member >= b->members) {
        return OW_NOT_FOUND;
    }
    if (b->causes[i].noticed_by == NOBODY) {
        b->causes[i].noticed_by = member;
        touch_shown(b, i);
    }
    return OW_OK;
}

ow_status ow_board_report(ow_board *b, const ow_notice *notice, ow_utc_s now_s)
{
    ow_status status = ow_board_settle(b, notice->subject, NULL, now_s);
    int i = find(b, notice->id);
    i = i != NONE ? i : find_room(b);
    if (status != OW_OK || i == NONE) {
        return status != OW_OK ? status : OW_FULL;
    }
    begin(b, i, notice, now_s);
    return OW_OK;
}

ow_utc_s ow_board_raised_s(const ow_board *b, const char *id)
{
    int i = find(b, id);
    return i != NONE ? b->causes[i].notice.raised_s : INT64_MIN;
}

int ow_board_standing(const ow_board *b)
{
    int n = 0;
    for (int i = 0; i < b->room; i++) {
        n += stands(&b->causes[i]);
    }
    return n;
}

/* Whether a matters more than b: noticed ones least, then urgency, hour, age. */
static bool matters_more(const cause *a, const cause *b)
{
    bool a_open = a->noticed_by == NOBODY, b_open = b->noticed_by == NOBODY;
    if (a_open != b_open) {
        return a_open;
    }
    if (a->notice.urgency != b->notice.urgency) {
        return a->notice.urgency < b->notice.urgency;
    }
    if (a->notice.act_by_s != b->notice.act_by_s) {
        return a->notice.act_by_s < b->notice.act_by_s;
    }
    return a->notice.raised_s < b->notice.raised_s;
}

/* For one member only. */
static bool is_private(const cause *c)
{
    return strncmp(c->notice.subject, OW_NOTICE_MEMBER, sizeof OW_NOTICE_MEMBER - 1) == 0;
}

int ow_board_open(const ow_board *b, ow_standing open[OW_BOARD_OPEN])
{
    int order[OW_BOARD_OPEN + 1], n = 0;
    for (int i = 0; i < b->room; i++) {
        const cause *c = &b->causes[i];
        if (stands(c) && !is_private(c)) {
            int at = n;
            for (; at > 0 && matters_more(c, &b->causes[order[at - 1]]); at--) {
                order[at] = order[at - 1];
            }
            order[at] = i;
            n = n < OW_BOARD_OPEN ? n + 1 : n; /* the least of too many goes */
        }
    }
    for (int k = 0; k < n; k++) {
        open[k] = (ow_standing){&b->causes[order[k]].notice, b->causes[order[k]].noticed_by};
    }
    return n;
}

bool ow_board_changed(ow_board *b)
{
    bool changed = b->changed;
    b->changed = false;
    return changed;
}

/* ---- who is told what ------------------------------------------------------------------------ */

static bool hears(const ow_board *b, int member, const cause *c)
{
    const ow_member *m = &b->garden->household[member];
    bool own =
        !is_private(c) || strcmp(c->notice.subject + sizeof OW_NOTICE_MEMBER - 1, m->id) == 0;
    return own && (m->hears & (1u << c->notice.urgency)) != 0;
}

/* When a cause goes on to the first who does not hear it; OW_NEVER: it does not. */
static ow_utc_s escalates_s(const cause *c)
{
    const ow_notice *n = &c->notice;
    if (n->urgency == OW_HEARS_SHEETS || n->raised_s == OW_NEVER ||
        (n->act_by_s == OW_NEVER && n->urgency == OW_HEARS_JOBS)) {
        return OW_NEVER;
    }
    if (n->act_by_s == OW_NEVER) {
        return n->raised_s + OW_NOTICE_ESCALATE_EVERY_S;
    }
    ow_utc_s at_s = n->act_by_s - OW_NOTICE_ESCALATE_BEFORE_S;
    ow_utc_s soonest_s = n->raised_s + OW_NOTICE_ESCALATE_SOONEST_S;
    return at_s > soonest_s ? at_s : soonest_s;
}

/* Whether a cause has gone on to a member who does not hear it, past those before. */
static bool is_escalated(const ow_board *b, const cause *c, int member, ow_utc_s now_s)
{
    int before = 0, listening = 0;
    ow_utc_s first_s = escalates_s(c);
    if (first_s == OW_NEVER || hears(b, member, c)) {
        return false;
    }
    for (int m = 0; m < b->members; m++) {
        listening += hears(b, m, c);
        before += m < member && !hears(b, m, c);
    }
    return listening > 0 && now_s >= first_s + before * OW_NOTICE_ESCALATE_EVERY_S;
}

static bool is_due(const ow_board *b, int i, int member, ow_utc_s now_s)
{
    const cause *c = &b->causes[i];
    bool quiet = ow_is_quiet(b->garden->household[member].quiet, &b->local, now_s);
    return stands(c) && c->noticed_by == NOBODY && *told_of(b, i, member) < c->edition &&
           (!quiet || c->notice.urgency == OW_HEARS_URGENT) &&
           (hears(b, member, c) || is_escalated(b, c, member, now_s));
}

static int least_due(const ow_board *b, int member, ow_utc_s now_s)
{
    int least = NONE;
    for (int i = 0; i < b->room; i++) {
        if (is_due(b, i, member, now_s) &&
            (least == NONE || matters_more(&b->causes[least], &b->causes[i]))) {
            least = i;
        }
    }
    return least;
}

/* Of what a member was told and still stands, what matters most. */
static int most_told(const ow_board *b, int member)
{
    int most = NONE;
    for (int i = 0; i < b->room; i++) {
        if (stands(&b->causes[i]) && *told_of(b, i, member) > 0 &&
            (most == NONE || matters_more(&b->causes[i], &b->causes[most]))) {
            most = i;
        }
    }
    return most;
}

static ow_delivery delivery(const ow_board *b, int member, bool news)
{
    int i = b->listeners[member].shown;
    if (i == NONE) {
        return (ow_delivery){.member = member, .empty = true, .noticed_by = NOBODY};
    }
    return (ow_delivery){.member = member,
                         .news = news,
                         .escalated = !hears(b, member, &b->causes[i]),
                         .notice = &b->causes[i].notice,
                         .noticed_by = b->causes[i].noticed_by};
}

static size_t take_for(ow_board *b, int member, ow_utc_s now_s, ow_delivery *out, size_t most)
{
    listener *l = &b->listeners[member];
    size_t n = 0;
    for (int i; n < most && (i = least_due(b, member, now_s)) != NONE; n++) {
        *told_of(b, i, member) = b->causes[i].edition;
        *l = (listener){.shown = i, .stale = false};
        out[n] = delivery(b, member, true);
    }
    if (l->stale && n < most) {
        *l = (listener){.shown = most_told(b, member), .stale = false};
        out[n++] = delivery(b, member, false);
    }
    return n;
}

size_t ow_board_take(ow_board *b, ow_utc_s now_s, ow_delivery *deliveries, size_t most)
{
    size_t n = 0;
    for (int m = 0; m < b->members && n < most; m++) {
        n += take_for(b, m, now_s, deliveries + n, most - n);
    }
    return n;
}

ow_delivery ow_board_shown(const ow_board *b, int member)
{
    return delivery(b, member, false);
}

/* ---- bytes ----------------------------------------------------------------------------------- */

static int member_by_id(const ow_board *b, const char *id)
{
    for (int m = 0; m < b->members; m++) {
        if (strcmp(b->garden->household[m].id, id) == 0) {
            return m;
        }
    }
    return NOBODY;
}

/* A member as its id; one who is not in the household reads as NOBODY. */
static void pack_member(const ow_board *b, ow_pack *p, int *member)
{
    char id[MEMBER_ROOM] = "";
    if (!p->reading && *member != NOBODY) {
        snprintf(id, sizeof id, "%s", b->garden->household[*member].id);
    }
    ow_pack_text(p, id, sizeof id);
    if (p->reading) {
        *member = member_by_id(b, id);
    }
}

static void pack_urgency(ow_pack *p, ow_hears *urgency)
{
    int number = (int)*urgency;
    ow_pack_int(p, &number, OW_HEARS_URGENT, OW_HEARS_SHEETS);
    *urgency = (ow_hears)number;
}

static void pack_cause(const ow_board *b, ow_pack *p, cause *c)
{
    ow_notice *n = &c->notice;
    ow_pack_text(p, n->id, sizeof n->id);
    ow_pack_text(p, n->subject, sizeof n->subject);
    ow_pack_text(p, n->text, sizeof n->text);
    pack_urgency(p, &n->urgency);
    ow_pack_time(p, &n->act_by_s);
    ow_pack_time(p, &n->raised_s);
    ow_pack_time(p, &n->cleared_s);
    ow_pack_int(p, &c->edition, 1, EDITIONS_MOST);
    pack_urgency(p, &c->worst_urgency);
    ow_pack_time(p, &c->earliest_s);
    pack_member(b, p, &c->noticed_by);
}

static void write_board(ow_board *b, ow_pack *p)
{
    int used = 0;
    for (int i = 0; i < b->room; i++) {
        used += b->causes[i].used;
    }
    ow_pack_int(p, &used, 0, b->room);
    ow_pack_int(p, &b->members, 0, b->members);
    for (int i = 0; i < b->room; i++) {
        if (!b->causes[i].used) {
            continue;
        }
        pack_cause(b, p, &b->causes[i]);
        for (int m = 0; m < b->members; m++) {
            bool shown = b->listeners[m].shown == i;
            pack_member(b, p, &m);
            ow_pack_int(p, told_of(b, i, m), 0, EDITIONS_MOST);
            ow_pack_bool(p, &shown);
        }
    }
    for (int m = 0; m < b->members; m++) {
        pack_member(b, p, &m);
        ow_pack_bool(p, &b->listeners[m].stale);
    }
}

/* Reads what was told of one cause; `i` is NONE when the board has no room for it. */
static void read_told(ow_board *b, ow_pack *p, int i, int members)
{
    for (int k = 0; p->status == OW_OK && k < members; k++) {
        int member = NOBODY, told = 0;
        bool shown = false;
        pack_member(b, p, &member);
        ow_pack_int(p, &told, 0, EDITIONS_MOST);
        ow_pack_bool(p, &shown);
        if (i != NONE && member != NOBODY) {
            *told_of(b, i, member) = told;
            b->listeners[member].shown = shown ? i : b->listeners[member].shown;
        }
    }
}

static void read_board(ow_board *b, ow_pack *p)
{
    int used = 0, members = 0;
    ow_pack_int(p, &used, 0, EDITIONS_MOST);
    ow_pack_int(p, &members, 0, EDITIONS_MOST);
    for (int k = 0; p->status == OW_OK && k < used; k++) {
        cause c = {.used = true, .edition = 1, .noticed_by = NOBODY};
        pack_cause(b, p, &c);
        int i = p->status == OW_OK && find(b, c.notice.id) == NONE ? find_room(b) : NONE;
        if (i != NONE) {
            begin(b, i, &c.notice, c.notice.raised_s);
            b->causes[i] = c;
        }
        read_told(b, p, i, members);
    }
    for (int k = 0; p->status == OW_OK && k < members; k++) {
        int member = NOBODY;
        bool stale = false;
        pack_member(b, p, &member);
        ow_pack_bool(p, &stale);
        if (member != NOBODY) {
            b->listeners[member].stale = stale;
        }
    }
}

void ow_board_pack(ow_board *b, ow_pack *p)
{
    ow_board *fresh = NULL;
    if (!p->reading) {
        write_board(b, p);
        return;
    }
    ow_status status = ow_board_new(b->garden, &b->local, b->room, &fresh);
    if (status != OW_OK) {
        p->status = p->status == OW_OK ? status : p->status;
        return;
    }
    read_board(fresh, p);
    if (p->status == OW_OK && p->at == p->size) {
        ow_board other = *b;
        *b = *fresh;
        b->changed = true;
        *fresh = other;
    } else if (p->status == OW_OK) {
        p->status = OW_BAD_INPUT;
    }
    ow_board_free(fresh);
}
