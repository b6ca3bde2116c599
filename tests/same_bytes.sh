#!/bin/sh
# Runs tests/same_bytes on the example, with the smallest file before it.
exec "${builddir:-.}/tests/same_bytes" "${srcdir:-.}/examples/alder-row.yaml" \
  "${srcdir:-.}/tests/houses/before.yaml"
