/* SPDX-License-Identifier: MIT */
/* The style sheet of the tile, from tile.css. */
#ifndef OVERWINTER_PEOPLE_TILE_STYLE_H
#define OVERWINTER_PEOPLE_TILE_STYLE_H

extern const char ow_tile_style[];

#endif
