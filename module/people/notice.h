/* SPDX-License-Identifier: MIT */
/*
 * Notices to the household: who is told what and when, without repeats. Pure: the caller raises and
 * clears causes, asks at every tick what is to be published, and publishes it.
 *
 * A cause has an id that is the same as long as the cause is. It is told to each member who hears
 * its urgency, once: again only when it becomes more urgent or its act_by moves earlier by more
 * than an hour. Urgent ones pass quiet hours. Jobs do not: one that is raised outside quiet hours
 * is told at once, so one to be done within them is told before they begin; one that is raised
 * within them waits for their end. When a member has noticed it, it stops for all; who it was is
 * shown. A cause that comes back within an hour is the same one still.
 *
 * One that nobody has noticed by its time goes on to those who do not hear its urgency by
 * themselves, one after the other, in the order of the household.
 */
#ifndef OVERWINTER_PEOPLE_NOTICE_H
#define OVERWINTER_PEOPLE_NOTICE_H

#include <stdbool.h>
#include <stddef.h>

#include "garden/garden.h"
#include "garden/pack.h"
#include "judgement/reason.h"
#include "judgement/verdict.h"

/* Ids have at most 64 characters; the subject of a member's adds "household-", a notice's own id a
 * word to that. */
enum { OW_NOTICE_SUBJECT = 76, OW_NOTICE_ID = 96, OW_NOTICE_TEXT = 700, OW_NOTICE_CODE = 2000 };

/* act_by earlier by more than this is told again. */
#define OW_NOTICE_EARLIER_S OW_HOUR_S

/* A cause that comes back within this has not been away. */
#define OW_NOTICE_LINGER_S OW_HOUR_S

/* A cause that nobody has noticed goes to the next member this long before its act_by, but not
 * sooner after it began than that; without an act_by, an urgent one goes on after a while; then to
 * another each while (common practice, no source). */
#define OW_NOTICE_ESCALATE_BEFORE_S (2 * OW_HOUR_S)
#define OW_NOTICE_ESCALATE_SOONEST_S (OW_HOUR_S / 4)
#define OW_NOTICE_ESCALATE_EVERY_S (OW_HOUR_S / 2)

/* The subject of what is for one member only is this and its id. */
#define OW_NOTICE_MEMBER "household-"

typedef struct ow_notice {
    char id[OW_NOTICE_ID];           /* e.g. "lemon-carry-in" */
    char subject[OW_NOTICE_SUBJECT]; /* id of the plant or output, "garden", "household-ada" */
    ow_hears urgency;
    char text[OW_NOTICE_TEXT];
    char code[OW_NOTICE_CODE]; /* the same as codes, see speech.h; empty: none. Not kept over a
                                  restart */
    ow_utc_s act_by_s;  /* OW_NEVER: none */
    ow_utc_s raised_s;  /* set by the board */
    ow_utc_s cleared_s; /* OW_NEVER: it stands; set by the board */
} ow_notice;

/* Speaks its text and code. */
ow_speech ow_notice_speech(ow_notice *notice, const ow_local *local);

/* Length of the first sentence of a text: up to a full stop with a blank or nothing behind it. */
int ow_first_sentence(const char *text);

/*
 * The notice of a plant's state: which plant, what to do and by when, and why: the first sentence
 * of `reason`, and what happens otherwise. Urgent when what is ahead kills. False (nothing written) for a state that asks for
 * nobody's attention (hold).
 */
bool ow_notice_of_verdict(const ow_garden *garden, int plant, const ow_verdict *verdict,
                          ow_spoken action, ow_spoken reason, const ow_local *local,
                          ow_notice *notice);

/* What one member's topic is to say. */
typedef struct ow_delivery {
    int member;              /* index in the household */
    bool empty;              /* nothing stands: clear the topic; the rest has no meaning */
    bool news;               /* false: the topic falls back on what was told before */
    bool escalated;          /* nobody noticed it by its time, so it went on to this member */
    const ow_notice *notice; /* until the board is next changed */
    int noticed_by;          /* member who noticed it; -1: nobody */
} ow_delivery;

typedef struct ow_board ow_board;

/*
 * A board for the garden's household with room for that many causes at once, all memory taken now.
 * The garden and what `local` points to outlive it. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_board_new(const ow_garden *garden, const ow_local *local, int room,
                                ow_board **board);
void ow_board_free(ow_board *board);

/* A cause stands (again): keeps it, and tells of it when it is new or worse. OW_FULL (nothing
 * changed) when as many causes as there is room for stand already. */
OW_CHECK ow_status ow_board_raise(ow_board *board, const ow_notice *notice, ow_utc_s now_s);

/* The same, but told as new even where it stands; it ends what else stands of its subject. */
OW_CHECK ow_status ow_board_report(ow_board *board, const ow_notice *notice, ow_utc_s now_s);

/* When the cause of that id began last; INT64_MIN: never, or long forgotten. */
ow_utc_s ow_board_raised_s(const ow_board *board, const char *id);

/* A cause is gone. Nothing happens when it does not stand. */
void ow_board_clear(ow_board *board, const char *id, ow_utc_s now_s);

/* Of a subject that has one cause at a time: clears its others and raises this one; NULL: none. */
OW_CHECK ow_status ow_board_settle(ow_board *board, const char *subject, const ow_notice *notice,
                                   ow_utc_s now_s);

/* A member has noticed one. OW_NOT_FOUND when no such cause stands or no such member is. */
OW_CHECK ow_status ow_board_noticed(ow_board *board, int member, const char *id);

/*
 * What is to be published now: at most `most` deliveries, fewer when that is all. Call it after
 * every change and at every tick, until it gives 0. News go least urgent first, so that the topic
 * ends with what matters most.
 */
size_t ow_board_take(ow_board *board, ow_utc_s now_s, ow_delivery *deliveries, size_t most);

/* What a member's topic says, for publishing it anew after a new connection. */
ow_delivery ow_board_shown(const ow_board *board, int member);

/* Causes that stand. */
int ow_board_standing(const ow_board *board);

/* A cause that stands, and who noticed it (-1: nobody). */
typedef struct ow_standing {
    const ow_notice *notice; /* until the board is next changed */
    int noticed_by;
} ow_standing;

/* What stands for everybody, what matters most first; returns how many. */
enum { OW_BOARD_OPEN = 64 };
int ow_board_open(const ow_board *board, ow_standing open[OW_BOARD_OPEN]);

/* Whether that may have changed since this was last asked. */
bool ow_board_changed(ow_board *board);

/*
 * The board's state, written or read (see garden/pack.h): causes, who was told, who noticed.
 * Members are known by id, so that an edited household keeps what still fits. Reading fails as a
 * whole (pack->status) and then leaves the board as it was.
 */
void ow_board_pack(ow_board *board, ow_pack *pack);

#endif
