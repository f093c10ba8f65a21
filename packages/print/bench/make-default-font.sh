#!/bin/sh
# Cuts DejaVu Sans down to the letters that the default font of the PDF writer has, and prints it as base64.
# Usage: make-default-font.sh DejaVuSans.ttf   (needs pyftsubset of fonttools)
set -e
out=$(mktemp)
pyftsubset "$1" --no-hinting --layout-features='' --drop-tables+=GDEF,GPOS,GSUB,FFTM,kern \
  --name-IDs='0,1,2,3,4,5,6,13,14' --output-file="$out" --unicodes="U+0020-007E,U+00A0-017F,U+0192,U+01A0-01A1,\
U+01AF-01B0,U+01CD-01DC,U+01E6-01E7,U+01FA-01FF,U+0218-021B,U+0259,U+02C6-02C7,U+02D8-02DD,U+0300-0304,U+0306-030C,\
U+0384-038A,U+038C,U+038E-03A1,U+03A3-03CE,U+0400-045F,U+0490-0493,U+0496-0497,U+049A-049B,U+04A2-04A3,U+04AE-04B1,\
U+04BA-04BB,U+04D8-04D9,U+04E8-04E9,U+1E00-1E0F,U+1E80-1E85,U+1E9E,U+1EA0-1EF9,U+2010-2015,U+2018-201E,U+2020-2022,\
U+2026,U+2030,U+2032-2033,U+2039-203A,U+2044,U+2070,U+2074-2079,U+2080-2089,U+20AC,U+2103,U+2116,U+2122,U+2153-2154,\
U+215B-215E,U+2190-2199,U+2212,U+2248,U+2260,U+2264-2265,U+25A0-25A1,U+25CB,U+25CF,U+2640,U+2642,U+2702,U+FFFD"
base64 -w 0 "$out"
rm "$out"
