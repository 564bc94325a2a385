/* SPDX-License-Identifier: MIT */
/*
 * Writes what stands in docs/ about the garden file from the table of keys:
 *     make_schema schema >docs/garden.schema.json
 *     make_schema page            (from the heading "Every key" on, for docs/garden-file.md)
 */
#include "key_docs.h"

int main(int argc, char **argv)
{
    if (argc != 2 || (strcmp(argv[1], "schema") != 0 && strcmp(argv[1], "page") != 0)) {
        fputs("usage: make_schema schema|page\n", stderr);
        return 2;
    }
    if (strcmp(argv[1], "schema") == 0) {
        write_schema(stdout);
    } else {
        write_page(stdout);
    }
    return fflush(stdout) == 0 ? 0 : 1;
}
