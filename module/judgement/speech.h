/* SPDX-License-Identifier: MIT */
/*
 * Sentences with blanks, in English and as codes, both from one call, so that whoever shows them
 * can say them in another language. The codes are JSON, a list of sentences, each a list of its
 * code (sayings.h) and what fills its blanks:
 *
 *   [["threat-will", {"part":"foliage"}, {"c":-6.2}, {"at":"2024-01-11T05:30:00Z"}, ...]]
 *
 * {"c"}, {"whole_c"} are degrees Celsius, {"k"}, {"signed_k"} differences of temperature in K,
 * {"n"} a number, {"at"} a moment, {"day"} one whose date is meant, {"names"} a list of names,
 * {"say"} sentences within the sentence; any other key names the list that its word is from. A text
 * is a name as it stands.
 */
#ifndef OVERWINTER_JUDGEMENT_SPEECH_H
#define OVERWINTER_JUDGEMENT_SPEECH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "judgement/sayings.h"
#include "physics/calendar.h"

/* Local time comes from the host. */
typedef struct ow_local {
    int (*utc_offset_s)(void *self, int64_t utc_s);
    void *self;
} ow_local;

enum { OW_WHEN_TEXT = 32, OW_SPEECH_BLANKS = 8 };

/* "Thu 30 Jan 05:00" in local time; returns text. */
char *ow_when(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT]);

/* To a tenth of a degree, for people: no "-0.0". */
double ow_tenth_c(double c);

/* ---- blanks ---------------------------------------------------------------------------------- */

typedef enum ow_blank_kind {
    OW_BLANK_END,
    OW_BLANK_NAME,
    OW_BLANK_C,       /* "-6.2 C" */
    OW_BLANK_DEGREES, /* the same with the degree sign, where there is room for little else */
    OW_BLANK_WHOLE_C,
    OW_BLANK_K,
    OW_BLANK_SIGNED_K,
    OW_BLANK_NUMBER,
    OW_BLANK_AT,
    OW_BLANK_DAY,
    OW_BLANK_WORD,
    OW_BLANK_NAMES,
    OW_BLANK_SAY
} ow_blank_kind;

/* What fills a blank. Texts are the caller's and stay until it was spoken. */
typedef struct ow_blank {
    ow_blank_kind kind;
    double number;
    int decimals;
    ow_utc_s at_s;
    const char *text;        /* a name; English of a word or of sentences; between names */
    const char *list, *word; /* of a word: its list and itself */
    bool many;               /* it is more than one thing */
    const char *const *names;
    int n;
    const char *code; /* of sentences within */
} ow_blank;

ow_blank ow_blank_name(const char *name);
ow_blank ow_blank_c(double c);
ow_blank ow_blank_k(double k);
ow_blank ow_blank_number(double number, int decimals);
ow_blank ow_blank_at(ow_utc_s at_s);
ow_blank ow_blank_word(const char *list, const char *word, const char *english);
/* A sentence without blanks of its own. */
ow_blank ow_blank_say(ow_saying saying);
/* Nothing at all. */
ow_blank ow_blank_nothing(void);

/* ---- speaking -------------------------------------------------------------------------------- */

typedef struct ow_speech {
    const ow_local *local;
    const char *joint; /* between sentences of the English text */
    char *text, *code; /* the caller's; code NULL: not wanted */
    size_t room, code_room;
} ow_speech;

/* Begins with nothing said. A text without room is cut; codes without room are left empty, which
 * means that there are none. */
ow_speech ow_speech_begin(const ow_local *local, const char *joint, char *text, size_t room,
                          char *code, size_t code_room);

/* Says a sentence; blanks end with OW_BLANK_END. OW_SPEAK takes them as arguments. */
void ow_speak(ow_speech *speech, ow_saying saying, const ow_blank *blanks);
void ow_speak_plain(ow_speech *speech, ow_saying saying);
#define OW_SPEAK(speech, saying, ...)                                                              \
    ow_speak(speech, saying, (const ow_blank[]){__VA_ARGS__, {.kind = OW_BLANK_END}})

/* Says once more what another speech said: of its text `length` bytes, of its codes the nth. */
void ow_speak_again(ow_speech *speech, const char *text, int length, const char *code, int nth);

/* What was said so far as a blank of another sentence. */
ow_blank ow_blank_speech(const ow_speech *speech);

/* Something that was spoken, kept: its text, and its codes (empty: none). */
typedef struct ow_spoken {
    const char *text, *code;
} ow_spoken;
ow_blank ow_blank_spoken(ow_spoken spoken);

/* The code and the English of a saying; and all of it spoken, of one without blanks. */
const char *ow_saying_code(ow_saying saying);
const char *ow_saying_english(ow_saying saying);
ow_spoken ow_saying_spoken(ow_saying saying);

#endif
