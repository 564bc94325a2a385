/* SPDX-License-Identifier: MIT */
/* The evening sheet as one file of HTML: black on white, made for a printer. */
#include "hosts/printed_sheet.h"

#include "hosts/local_time.h"
#include "people/svg.h"

static const char HEAD[] =
    "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width\">\n<title>";

static const char STYLE[] =
    "</title>\n<style>\n"
    "@page { size: A4; margin: 10mm }\n"
    "body { font: 9pt/1.2 serif; color: #000; background: #fff; max-width: 190mm; "
    "margin: 1em auto; padding: 0 1em }\n"
    "@media print { body { margin: 0; padding: 0 } }\n"
    "h1 { font-size: 15pt; margin: 0 } h2 { font-size: 11pt; margin: .6em 0 .2em; "
    "border-bottom: 1pt solid #000 }\n"
    "p { margin: .1em 0 } ol, ul { margin: 0; padding: 0; list-style: none }\n"
    "li { break-inside: avoid; padding: .1em 0 .1em 2em; position: relative }\n"
    "ol li::before { content: \"\"; position: absolute; left: .2em; top: .5em; width: .9em; "
    "height: .9em; border: 1pt solid #000 }\n"
    "ul li { padding-left: 0 } .by { font-weight: bold } .small { font-size: 7.5pt; margin: 0 }\n"
    ".plants { columns: 2; column-gap: 8mm; font-size: 7.5pt }\n"
    ".plants li { padding: .1em 0; border-bottom: .3pt solid #888 }\n"
    "</style>\n";

static void element(FILE *file, const char *open, const char *text, const char *close)
{
    fputs(open, file);
    ow_svg_text(file, text);
    fputs(close, file);
}

static void put_job(FILE *file, const ow_job_view *job)
{
    char line[OW_PRINTED_LINE];
    element(file, "<li><p><b>", job->subject, "</b>");
    if (job->place != NULL) {
        element(file, " (", job->place, ")");
    }
    element(file, ": ", job->what, ", ");
    ow_printed_by(job, line);
    element(file, "<span class=\"by\">", line, "</span>");
    ow_printed_effort(job, line);
    element(file, " <span class=\"small\">(", line, ")</span></p>");
    if (job->why[0] != '\0') {
        element(file, "<p class=\"small\">Why: ", job->why, "</p>");
    }
    if (job->otherwise[0] != '\0') {
        element(file, "<p class=\"small\">Otherwise: ", job->otherwise, "</p>");
    }
    fputs("</li>\n", file);
}

static void put_left(FILE *file, const ow_printed *e)
{
    char line[OW_PRINTED_LINE];
    bool any = false;
    for (int i = 0; i < e->module->plant_count(e->engine); i++) {
        if (ow_printed_left(e, i, line)) {
            fputs(any ? "" : "<h2>Left off</h2>\n<ul>\n", file);
            element(file, "<li>", line, "</li>\n");
            any = true;
        }
    }
    fputs(any ? "</ul>\n" : "", file);
}

static void put_plants(FILE *file, const ow_printed *e)
{
    char line[OW_PRINTED_LINE];
    fputs("<h2>The plants</h2>\n<ul class=\"plants\">\n", file);
    for (int i = 0; i < e->module->plant_count(e->engine); i++) {
        ow_plant_view plant;
        e->module->plant(e->engine, i, &plant);
        ow_printed_state(&plant, line);
        element(file, "<li><b>", plant.name, "</b>: ");
        element(file, "", line, "</li>\n");
    }
    fputs("</ul>\n", file);
}

void ow_printed_html(FILE *file, const ow_printed *e)
{
    char line[OW_PRINTED_LINE], when[OW_LOCAL_TEXT];
    element(file, HEAD, e->module->garden_id(e->engine), STYLE);
    element(file, "<h1>", e->module->garden_id(e->engine), "</h1>\n");
    snprintf(line, sizeof line, "%s, time of %.60s",
             ow_local_long(e->module->now_s(e->engine), when), e->module->time_zone(e->engine));
    element(file, "<p>", line, "</p>\n");
    ow_printed_lowest(e, line);
    element(file, "<p><b>", line, "</b></p>\n");
    ow_printed_first(e, line);
    element(file, "<p><b>", line, "</b></p>\n");
    fputs(e->jobs > 0 ? "<h2>Jobs</h2>\n<ol>\n" : "", file);
    for (int i = 0; i < e->jobs; i++) {
        put_job(file, &e->job[i]);
    }
    fputs(e->jobs > 0 ? "</ol>\n" : "", file);
    put_left(file, e);
    put_plants(file, e);
    fputs("</html>\n", file);
}
