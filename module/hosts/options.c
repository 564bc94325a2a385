/* SPDX-License-Identifier: MIT */
#include "hosts/options.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"
#include "hosts/clocks.h"
#include "physics/calendar.h"
#include "plants/spelling.h"

enum { MOST_EVERY_MIN = 1440, MOST_FORESIGHT_H = 240, WHO_MOST = 64, WORDS_MOST = 4 };

static const char help[] =
    "overwinter looks ahead at what the cold will do to the plants of one garden,\n"
    "and says which of them needs a hand, and by when.\n"
    "\n"
    "  overwinter check GARDEN [WEATHER.csv]\n"
    "      proves a garden file and says what the winter asks of it; and whether the\n"
    "      heaters are large enough for the record's coldest night\n"
    "\n"
    "  overwinter rehearse GARDEN WEATHER.csv --out DIR\n"
    "      plays recorded weather on the garden and writes to DIR:\n"
    "      timeline.csv, events.csv, summary.json, ahead.svg, tile.svg, and for beds\n"
    "      ground.csv\n"
    "\n"
    "      --every MIN              minutes between the lines of the timeline\n"
    "                               (1 to 1440; 60)\n"
    "      --hands none|obey        nobody does the jobs, or each is done in time\n"
    "                               (none)\n"
    "      --foresight none|HOURS   how far ahead the weather is known\n"
    "                               (1 to 240; 72)\n"
    "      --spread none|materials|all\n"
    "                               looks ahead once; or 32 times, with what nobody\n"
    "                               has measured of pots, covers and soil; or with a\n"
    "                               forecast's errors as well (none)\n"
    "      --from T, --until T      the part of the weather to play, in UTC, such as\n"
    "                               2024-01-05 or 2024-01-05T12:00:00Z\n"
    "      --json                   prints the summary as JSON in place of the table\n"
    "\n"
    "  overwinter ahead GARDEN WEATHER.csv\n"
    "      prints the evening sheet: the lowest expected, the jobs in their order and\n"
    "      what happens otherwise, what was left off, and how the plants stand;\n"
    "      WEATHER.csv is the recent record followed by the hours ahead\n"
    "\n"
    "      --from T                 what is now, in UTC (the clock where the file\n"
    "                               reaches beyond it, else --foresight before the\n"
    "                               end of the file)\n"
    "      --foresight none|HOURS, --spread none|materials|all\n"
    "                               as above (72, all)\n"
    "      --html                   one page for the printer in place of plain text\n"
    "\n"
    "  overwinter fit GARDEN PROBE.csv WEATHER.csv\n"
    "      tells from some nights of a borrowed probe how well a pot or bed holds\n"
    "      heat, and prints the lines for the garden file\n"
    "\n"
    "      --plant ID               the plant it was in, when its header names none\n"
    "      --depth MM               of the probe below the top of the soil (10 to\n"
    "                               1000; half the pot, 100 in a bed)\n"
    "      --from T, --until T      the part of the probe's record to use\n"
    "\n"
    "  overwinter run GARDEN\n"
    "      joins the MQTT broker that the garden file names: takes readings and the\n"
    "      forecast, tells states, jobs and notices, switches outputs; until it is\n"
    "      stopped (SIGTERM); SIGHUP reads the garden file anew\n"
    "\n"
    "      --once                   gives up when the broker cannot be reached at the\n"
    "                               first attempt\n"
    "      --pace N, --from T       a clock N times as fast (1 to 20000) that starts\n"
    "                               at T; only with a broker on this machine\n"
    "\n"
    "  overwinter tell GARDEN THING WORD [VALUE] [--who NAME]\n"
    "      tells a garden that is minded what you did or saw, such as\n"
    "        tell garden.json lemon wearing fleece\n"
    "        tell garden.json lemon done --who ada\n"
    "        tell garden.json garden stop\n"
    "      and waits for it to be taken; a word that is not known is answered with\n"
    "      those that are; NAME is your login name when left out\n"
    "\n"
    "  overwinter help              prints this (also --help)\n"
    "  overwinter --version         prints the version\n"
    "\n"
    "Exit: 0 done; 1 the garden or the weather file is wrong, or the garden refuses\n"
    "what is told; 2 the command line is wrong; 3 the machine failed (a full disk, no\n"
    "broker), another instance minds the garden, or nobody does who could be told.\n";

const char *ow_options_help(void)
{
    return help;
}

static bool whole_number(const char *text, int low, int high, int *value)
{
    size_t digits = strspn(text, "0123456789");
    if (digits == 0 || digits > 6 || text[digits] != '\0') {
        return false;
    }
    *value = atoi(text);
    return *value >= low && *value <= high;
}

static bool take_out(ow_options *options, const char *value)
{
    options->out = value;
    return value[0] != '\0';
}

static bool take_every(ow_options *options, const char *value)
{
    return whole_number(value, 1, MOST_EVERY_MIN, &options->every_min);
}

static bool take_hands(ow_options *options, const char *value)
{
    options->hands_obey = strcmp(value, "obey") == 0;
    return options->hands_obey || strcmp(value, "none") == 0;
}

static bool take_foresight(ow_options *options, const char *value)
{
    int hours = 0;
    if (strcmp(value, "none") != 0 && !whole_number(value, 1, MOST_FORESIGHT_H, &hours)) {
        return false;
    }
    options->foresight_h = hours;
    return true;
}

static bool take_spread(ow_options *options, const char *value)
{
    options->spread_given = true;
    options->spread_weather = strcmp(value, "all") == 0;
    options->spread_materials = options->spread_weather || strcmp(value, "materials") == 0;
    return options->spread_materials || strcmp(value, "none") == 0;
}

static bool take_from(ow_options *options, const char *value)
{
    return ow_time_parse(value, &options->from_s) == OW_OK;
}

static bool take_until(ow_options *options, const char *value)
{
    return ow_time_parse(value, &options->until_s) == OW_OK;
}

static bool take_json(ow_options *options, const char *value)
{
    (void)value;
    options->json = true;
    return true;
}

static bool take_html(ow_options *options, const char *value)
{
    (void)value;
    options->html = true;
    return true;
}

static bool take_plant(ow_options *options, const char *value)
{
    options->plant = value;
    return value[0] != '\0';
}

static bool take_depth(ow_options *options, const char *value)
{
    int mm;
    bool taken = whole_number(value, 10, 1000, &mm);
    options->depth_mm = taken ? (double)mm : (double)NAN;
    return taken;
}

static bool take_once(ow_options *options, const char *value)
{
    (void)value;
    options->once = true;
    return true;
}

static bool take_who(ow_options *options, const char *value)
{
    options->who = value;
    return value[0] != '\0' && strlen(value) <= WHO_MOST;
}

static bool take_pace(ow_options *options, const char *value)
{
    return whole_number(value, 1, OW_PACE_MOST, &options->pace);
}

enum {
    REHEARSE = 1 << OW_COMMAND_REHEARSE,
    FIT = 1 << OW_COMMAND_FIT,
    RUN = 1 << OW_COMMAND_RUN,
    AHEAD = 1 << OW_COMMAND_AHEAD,
    TELL = 1 << OW_COMMAND_TELL
};

static const struct option {
    const char *name;
    const char *value; /* what it takes, in words; NULL: nothing */
    bool (*take)(ow_options *options, const char *value);
    int of; /* the commands that take it */
} known_options[] = {
    {"--out", "a directory to write to", take_out, REHEARSE},
    {"--every", "whole minutes, 1 to 1440", take_every, REHEARSE},
    {"--hands", "none or obey", take_hands, REHEARSE},
    {"--foresight", "none or whole hours, 1 to 240", take_foresight, REHEARSE | AHEAD},
    {"--spread", "none, materials or all", take_spread, REHEARSE | AHEAD},
    {"--from", "a time such as 2024-01-05 or 2024-01-05T12:00:00Z", take_from,
     REHEARSE | AHEAD | FIT | RUN},
    {"--until", "a time such as 2024-01-05 or 2024-01-05T12:00:00Z", take_until, REHEARSE | FIT},
    {"--plant", "the id of a plant", take_plant, FIT},
    {"--depth", "whole millimetres, 10 to 1000", take_depth, FIT},
    {"--html", NULL, take_html, AHEAD},
    {"--json", NULL, take_json, REHEARSE},
    {"--once", NULL, take_once, RUN},
    {"--pace", "a whole number, 1 to 20000", take_pace, RUN},
    {"--who", "a name of at most 64 bytes", take_who, TELL},
};
enum { OPTIONS = sizeof known_options / sizeof known_options[0] };

static const struct command {
    const char *name, *also;
    ow_command command;
    int files, more_files;         /* that must be given, and that may be beyond these */
    const char *names[WORDS_MOST]; /* of those */
} commands[] = {
    {"help", "--help", OW_COMMAND_HELP, 0, 0, {NULL}},
    {"check", "check", OW_COMMAND_CHECK, 1, 1, {"GARDEN", "WEATHER.csv"}},
    {"rehearse", "rehearse", OW_COMMAND_REHEARSE, 2, 0, {"GARDEN", "WEATHER.csv"}},
    {"ahead", "ahead", OW_COMMAND_AHEAD, 2, 0, {"GARDEN", "WEATHER.csv"}},
    {"fit", "fit", OW_COMMAND_FIT, 3, 0, {"GARDEN", "PROBE.csv", "WEATHER.csv"}},
    {"run", "run", OW_COMMAND_RUN, 1, 0, {"GARDEN"}},
    {"tell", "tell", OW_COMMAND_TELL, 3, 1, {"GARDEN", "THING", "WORD", "VALUE"}},
    {"--version", "--version", OW_COMMAND_VERSION, 0, 0, {NULL}},
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

/* The command line while it is read. */
struct line {
    int argc, at;
    char **argv;
    const char *file[WORDS_MOST];
    int files;
    const struct command *command;
    bool given[OPTIONS];
    ow_report *report;
};

static const struct command *command_named(const char *word)
{
    for (size_t i = 0; i < COMMANDS; i++) {
        if (strcmp(word, commands[i].name) == 0 || strcmp(word, commands[i].also) == 0) {
            return &commands[i];
        }
    }
    return NULL;
}

static const char *nearest_command(const char *word)
{
    size_t best = 0;
    for (size_t i = 1; i < COMMANDS; i++) {
        if (ow_edit_distance(word, commands[i].name) <
            ow_edit_distance(word, commands[best].name)) {
            best = i;
        }
    }
    return commands[best].name;
}

static int nearest_option(const char *word)
{
    int best = 0;
    for (int i = 1; i < OPTIONS; i++) {
        if (ow_edit_distance(word, known_options[i].name) <
            ow_edit_distance(word, known_options[best].name)) {
            best = i;
        }
    }
    return best;
}

/* Splits "--every=30"; *value is NULL when there is no "=". */
static int option_named(const char *word, const char **value)
{
    size_t length = strcspn(word, "=");
    *value = word[length] == '=' ? word + length + 1 : NULL;
    for (int i = 0; i < OPTIONS; i++) {
        if (strlen(known_options[i].name) == length &&
            strncmp(word, known_options[i].name, length) == 0) {
            return i;
        }
    }
    return -1;
}

static void read_option(struct line *line, ow_options *options)
{
    char shown[OW_SHOWN_SIZE];
    const char *value;
    const char *word = line->argv[line->at];
    int index = option_named(word, &value);
    if (index < 0) {
        /* Taken as meant from here on, so that one slip gives one message. */
        index = nearest_option(word);
        line->given[index] = true;
        line->at += known_options[index].value != NULL && value == NULL ? 1 : 0;
        ow_error(line->report, "overwinter: option %s is not known; the nearest is %s",
                 ow_shown(shown, word), known_options[index].name);
        return;
    }
    const struct option *option = &known_options[index];
    if (line->given[index]) {
        ow_error(line->report, "overwinter: %s is given twice; give it once", option->name);
    }
    line->given[index] = true;
    if (option->value != NULL && value == NULL && line->at + 1 < line->argc) {
        value = line->argv[++line->at];
    }
    if ((option->value == NULL) != (value == NULL)) {
        ow_error(line->report, "overwinter: %s takes %s", option->name,
                 option->value == NULL ? "no value" : option->value);
    } else if (!option->take(options, value)) {
        ow_error(line->report, "overwinter: %s is \"%s\"; it takes %s", option->name,
                 ow_shown(shown, value), option->value);
    }
}

static void read_word(struct line *line)
{
    char shown[OW_SHOWN_SIZE];
    const char *word = line->argv[line->at];
    if (line->command == NULL) {
        line->command = command_named(word);
        if (line->command == NULL) {
            ow_error(line->report,
                     "overwinter: command %s is not known; the nearest is %s; see overwinter help",
                     ow_shown(shown, word), nearest_command(word));
            line->at = line->argc; /* what follows cannot be judged */
        }
    } else if (line->files < line->command->files + line->command->more_files) {
        line->file[line->files++] = word;
    } else {
        ow_error(line->report, "overwinter: %s is one word too many for %s; see overwinter help",
                 ow_shown(shown, word), line->command->name);
    }
}

static void read_words(struct line *line, ow_options *options)
{
    bool words_only = false;
    for (; line->at < line->argc; line->at++) {
        const char *word = line->argv[line->at];
        bool is_option = !words_only && word[0] == '-';
        if (is_option && strcmp(word, "--") == 0) {
            words_only = true;
        } else if (is_option && command_named(word) != NULL) {
            /* --help and --version, wherever they stand */
            line->command = command_named(word);
            line->at = line->argc;
        } else if (is_option) {
            read_option(line, options);
        } else {
            read_word(line);
        }
    }
}

/* What a command needs and did not get, and what it got and cannot use. */
static void judge(struct line *line, const ow_options *options)
{
    const struct command *command = line->command;
    for (int i = line->files; i < command->files; i++) {
        ow_error(line->report, "overwinter: %s needs %s; see overwinter help", command->name,
                 command->names[i]);
    }
    if (command->command == OW_COMMAND_REHEARSE && !line->given[0]) {
        ow_error(line->report, "overwinter: %s needs --out DIR, the directory to write to",
                 command->name);
    }
    for (int i = 0; i < OPTIONS; i++) {
        if (line->given[i] && (known_options[i].of & 1 << command->command) == 0) {
            ow_error(line->report, "overwinter: %s takes no %s", command->name,
                     known_options[i].name);
        }
    }
    if (options->from_s > options->until_s) {
        ow_error(line->report, "overwinter: --from is later than --until; swap them");
    }
}

ow_status ow_options_read(int argc, char **argv, ow_report *report, ow_options *options)
{
    struct line line = {.argc = argc, .at = 1, .argv = argv, .report = report};
    *options = (ow_options){
        .every_min = 60,
        .foresight_h = 72.0,
        .pace = 1,
        .from_s = INT64_MIN,
        .until_s = INT64_MAX,
        .depth_mm = NAN};
    read_words(&line, options);
    if (line.command == NULL && report->errors == 0) {
        ow_error(report,
                 "overwinter: say what to do: check, rehearse, ahead, fit, run, tell or help");
    }
    if (line.command != NULL && line.command->files > 0) {
        judge(&line, options);
    }
    if (report->errors > 0) {
        return OW_BAD_INPUT;
    }
    options->command = line.command->command;
    options->garden = line.file[0];
    if (options->command == OW_COMMAND_AHEAD && !options->spread_given) {
        options->spread_weather = options->spread_materials = true; /* as a live garden judges */
    }
    if (options->command == OW_COMMAND_TELL) {
        options->thing = line.file[1];
        options->word = line.file[2];
        options->value = line.file[3];
    } else {
        bool fits = options->command == OW_COMMAND_FIT;
        options->probe = fits ? line.file[1] : NULL;
        options->weather = line.file[fits ? 2 : 1];
    }
    return OW_OK;
}
