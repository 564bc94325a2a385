/* SPDX-License-Identifier: MIT */
#include "judgement/speech.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Of one sentence: a reason has a handful, each with a handful of blanks. */
enum { SENTENCE_TEXT = 700, SENTENCE_CODE = 1400 };

static const struct {
    const char *code, *english, *alone; /* alone: as the only sentence */
} sayings[OW_SAYINGS] = {
#define OW_SAYING_ROW(name, code, english) [name] = {code, english, "[[\"" code "\"]]"},
    OW_SAYING_LIST(OW_SAYING_ROW)
#undef OW_SAYING_ROW
};

const char *ow_saying_code(ow_saying saying)
{
    return sayings[saying].code;
}

const char *ow_saying_english(ow_saying saying)
{
    return sayings[saying].english;
}

ow_spoken ow_saying_spoken(ow_saying saying)
{
    return (ow_spoken){sayings[saying].english, sayings[saying].alone};
}

/* ---- numbers and times for people ------------------------------------------------------------ */

static ow_date local_date(const ow_local *local, ow_utc_s utc_s)
{
    return ow_date_of(utc_s + local->utc_offset_s(local->self, utc_s));
}

char *ow_when(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT])
{
    ow_date d = local_date(local, utc_s);
    const char *weekday = ow_weekday_name(utc_s + local->utc_offset_s(local->self, utc_s));
    snprintf(text, OW_WHEN_TEXT, "%s %d %s %02d:%02d", weekday, d.day, ow_month_name(d.month),
             d.hour, d.minute);
    return text;
}

static char *day_of(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT])
{
    ow_date d = local_date(local, utc_s);
    snprintf(text, OW_WHEN_TEXT, "%d %s %d", d.day, ow_month_name(d.month), d.year);
    return text;
}

double ow_tenth_c(double c)
{
    double tenth = floor(c * 10.0 + 0.5) / 10.0;
    return tenth == 0.0 ? 0.0 : tenth;
}

/* ---- text that grows ------------------------------------------------------------------------- */

/* Characters into a room; what finds none is lost, and `whole` says so. */
typedef struct pen {
    char *at;
    size_t left; /* with the byte that ends it */
    bool whole;
} pen;

static pen pen_on(char *text, size_t room)
{
    text[0] = '\0';
    return (pen){text, room, true};
}

static void put_char(pen *p, char c)
{
    if (p->left < 2) {
        p->whole = false;
        return;
    }
    *p->at++ = c;
    *p->at = '\0';
    p->left--;
}

static void put(pen *p, const char *text)
{
    for (; *text != '\0'; text++) {
        put_char(p, *text);
    }
}

static void put_f(pen *p, const char *format, ...) OW_PRINTF(2, 3);

static void put_f(pen *p, const char *format, ...)
{
    char text[64];
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    put(p, text);
}

/* RFC 8259, section 7. */
static void put_quoted(pen *p, const char *text)
{
    put_char(p, '"');
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < 0x20) {
            put_f(p, "\\u%04x", (unsigned)*text);
        } else {
            put(p, *text == '"' || *text == '\\' ? "\\" : "");
            put_char(p, *text);
        }
    }
    put_char(p, '"');
}

/* ---- blanks ---------------------------------------------------------------------------------- */

ow_blank ow_blank_name(const char *name)
{
    return (ow_blank){.kind = OW_BLANK_NAME, .text = name};
}

ow_blank ow_blank_c(double c)
{
    return (ow_blank){.kind = OW_BLANK_C, .number = ow_tenth_c(c)};
}

ow_blank ow_blank_k(double k)
{
    return (ow_blank){.kind = OW_BLANK_K, .number = k};
}

ow_blank ow_blank_number(double number, int decimals)
{
    return (ow_blank){
        .kind = OW_BLANK_NUMBER, .number = number, .decimals = decimals, .many = number != 1.0};
}

ow_blank ow_blank_at(ow_utc_s at_s)
{
    return (ow_blank){.kind = OW_BLANK_AT, .at_s = at_s};
}

ow_blank ow_blank_word(const char *list, const char *word, const char *english)
{
    return (ow_blank){.kind = OW_BLANK_WORD, .list = list, .word = word, .text = english};
}

ow_blank ow_blank_say(ow_saying saying)
{
    return ow_blank_spoken(ow_saying_spoken(saying));
}

ow_blank ow_blank_nothing(void)
{
    return (ow_blank){.kind = OW_BLANK_NAME, .text = ""};
}

ow_blank ow_blank_spoken(ow_spoken spoken)
{
    return (ow_blank){.kind = OW_BLANK_SAY, .text = spoken.text, .code = spoken.code};
}

ow_blank ow_blank_speech(const ow_speech *speech)
{
    return ow_blank_spoken((ow_spoken){speech->text, speech->code});
}

static void put_english(pen *p, const ow_blank *b, const ow_local *local)
{
    char when[OW_WHEN_TEXT];
    switch (b->kind) {
    case OW_BLANK_C:
        put_f(p, "%.1f C", b->number);
        break;
    case OW_BLANK_DEGREES:
        put_f(p,
              "%.1f \xc2\xb0"
              "C",
              b->number);
        break;
    case OW_BLANK_WHOLE_C: /* with a minus sign as wide as the plus */
        put_f(p,
              "%s%.0f \xc2\xb0"
              "C",
              b->number < 0.0 ? "\xe2\x88\x92" : "+", fabs(b->number));
        break;
    case OW_BLANK_K:
        put_f(p, "%.1f K", b->number);
        break;
    case OW_BLANK_SIGNED_K:
        put_f(p, "%+.1f K", b->number);
        break;
    case OW_BLANK_NUMBER:
        put_f(p, "%.*f", b->decimals, b->number);
        break;
    case OW_BLANK_AT:
        put(p, ow_when(local, b->at_s, when));
        break;
    case OW_BLANK_DAY:
        put(p, day_of(local, b->at_s, when));
        break;
    case OW_BLANK_NAMES:
        for (int i = 0; i < b->n; i++) {
            put(p, i > 0 ? b->text : "");
            put(p, b->names[i]);
        }
        break;
    case OW_BLANK_NAME:
    case OW_BLANK_WORD:
    case OW_BLANK_SAY:
        put(p, b->text);
        break;
    case OW_BLANK_END:
        break;
    }
}

static void put_number(pen *p, const char *key, double number, int decimals)
{
    put_f(p, "{\"%s\":%.*f}", key, decimals, number);
}

static void put_time(pen *p, const char *key, ow_utc_s at_s)
{
    char text[OW_TIME_TEXT];
    put_f(p, "{\"%s\":\"%s\"}", key, ow_time_format(at_s, text));
}

static void put_names(pen *p, const ow_blank *b)
{
    put(p, "{\"names\":[");
    for (int i = 0; i < b->n; i++) {
        put(p, i > 0 ? "," : "");
        put_quoted(p, b->names[i]);
    }
    put(p, "]}");
}

/* Sentences within without a code make the whole be without. */
static void put_say(pen *p, const ow_blank *b)
{
    bool coded = b->code != NULL && b->code[0] != '\0';
    put(p, "{\"say\":");
    put(p, coded ? b->code : "");
    put(p, "}");
    p->whole = p->whole && coded;
}

static void put_code(pen *p, const ow_blank *b)
{
    switch (b->kind) {
    case OW_BLANK_C:
    case OW_BLANK_DEGREES:
        put_number(p, "c", b->number, 1);
        break;
    case OW_BLANK_WHOLE_C:
        put_number(p, "whole_c", b->number, 0);
        break;
    case OW_BLANK_K:
        put_number(p, "k", b->number, 1);
        break;
    case OW_BLANK_SIGNED_K:
        put_number(p, "signed_k", b->number, 1);
        break;
    case OW_BLANK_NUMBER:
        put_number(p, "n", b->number, b->decimals);
        break;
    case OW_BLANK_AT:
        put_time(p, "at", b->at_s);
        break;
    case OW_BLANK_DAY:
        put_time(p, "day", b->at_s);
        break;
    case OW_BLANK_NAME:
        put_quoted(p, b->text);
        break;
    case OW_BLANK_NAMES:
        put_names(p, b);
        break;
    case OW_BLANK_WORD:
        put(p, "{");
        put_quoted(p, b->list);
        put(p, ":");
        put_quoted(p, b->word);
        put(p, "}");
        break;
    case OW_BLANK_SAY:
        put_say(p, b);
        break;
    case OW_BLANK_END:
        break;
    }
}

/* ---- speaking -------------------------------------------------------------------------------- */

ow_speech ow_speech_begin(const ow_local *local, const char *joint, char *text, size_t room,
                          char *code, size_t code_room)
{
    text[0] = '\0';
    if (code != NULL) {
        snprintf(code, code_room, "[]");
    }
    return (ow_speech){local, joint, text, code, room, code_room};
}

/* "{2}" or "{2:they are|it is}"; returns what follows it. */
static const char *fill(pen *p, const char *at, const ow_blank *blanks, const ow_local *local)
{
    const ow_blank *b = &blanks[at[1] - '0'];
    const char *end = strchr(at, '}'), *bar = strchr(at, '|');
    if (at[2] == '}') {
        put_english(p, b, local);
    } else {
        const char *from = b->many ? at + 3 : bar + 1, *to = b->many ? bar : end;
        for (; from < to; from++) {
            put_char(p, *from);
        }
    }
    return end + 1;
}

static void speak_english(ow_speech *s, const char *english, const ow_blank *blanks)
{
    char sentence[SENTENCE_TEXT];
    pen p = pen_on(sentence, sizeof sentence);
    while (*english != '\0') {
        if (*english == '{') {
            english = fill(&p, english, blanks, s->local);
        } else {
            put_char(&p, *english++);
        }
    }
    size_t used = strlen(s->text);
    snprintf(s->text + used, s->room - used, "%s%s", used > 0 ? s->joint : "", sentence);
}

/* Puts a sentence's code before the bracket that ends the list. */
static void append_code(ow_speech *s, const char *sentence, bool whole)
{
    size_t used = strlen(s->code), length = strlen(sentence), comma = used > 2;
    if (!whole || used < 2 || used + comma + length + 1 > s->code_room) {
        s->code[0] = '\0'; /* half of what was said would say something else */
        return;
    }
    snprintf(s->code + used - 1, s->code_room - used + 1, "%s%s]", comma ? "," : "", sentence);
}

static void speak_code(ow_speech *s, ow_saying saying, const ow_blank *blanks)
{
    char sentence[SENTENCE_CODE];
    pen p = pen_on(sentence, sizeof sentence);
    put(&p, "[");
    put_quoted(&p, sayings[saying].code);
    for (int i = 0; blanks[i].kind != OW_BLANK_END; i++) {
        put(&p, ",");
        put_code(&p, &blanks[i]);
    }
    put(&p, "]");
    append_code(s, sentence, p.whole);
}

void ow_speak(ow_speech *s, ow_saying saying, const ow_blank *blanks)
{
    speak_english(s, sayings[saying].english, blanks);
    if (s->code != NULL) {
        speak_code(s, saying, blanks);
    }
}

void ow_speak_plain(ow_speech *s, ow_saying saying)
{
    ow_speak(s, saying, &(const ow_blank){.kind = OW_BLANK_END});
}

/* The nth sentence of a list of codes; its length 0: there is none. */
static const char *sentence_of(const char *code, int nth, int *length)
{
    int depth = 0;
    const char *from = code;
    bool quoted = false;
    *length = 0;
    for (const char *at = code; *at != '\0'; at++) {
        if (*at == '"') {
            quoted = !quoted;
        } else if (quoted) {
            at += *at == '\\';
        } else if (*at == '[' && ++depth == 2) {
            from = at;
        } else if (*at == ']' && --depth == 1 && nth-- == 0) {
            *length = (int)(at - from) + 1;
            return from;
        }
    }
    return code;
}

void ow_speak_again(ow_speech *s, const char *text, int length, const char *code, int nth)
{
    char sentence[SENTENCE_CODE];
    size_t used = strlen(s->text);
    int size;
    snprintf(s->text + used, s->room - used, "%s%.*s", used > 0 ? s->joint : "", length, text);
    if (s->code != NULL) {
        const char *from = sentence_of(code, nth, &size);
        snprintf(sentence, sizeof sentence, "%.*s", size, from);
        append_code(s, sentence, size > 0 && (size_t)size < sizeof sentence);
    }
}
