#!/bin/sh
# Runs tests/same_bytes on the example, with quite another house before it.
exec "${builddir:-.}/tests/same_bytes" "${srcdir:-.}/examples/alder-row.yaml" \
  "${srcdir:-.}/tests/houses/two-rooms.yaml"
