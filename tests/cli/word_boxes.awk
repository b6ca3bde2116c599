# word_boxes.awk - reads `pdftotext -bbox`; says which words lie on each other or over the
# edge of the page, and how many words there are

function number(name,    at, rest) {
  at = index($0, name "=\"")
  rest = substr($0, at + length(name) + 2)
  return substr(rest, 1, index(rest, "\"") - 1) + 0
}

# Boxes hold the font's whole height; letters may come this near [points].
BEGIN { slack = 0.8 }

/<page / { width = number("width"); height = number("height"); first = count }

/<word / {
  left = number("xMin"); top = number("yMin"); right = number("xMax"); bottom = number("yMax")
  word = $0
  sub(/^[^>]*>/, "", word)
  sub(/<.*/, "", word)
  if (left < 0 || top < 0 || right > width || bottom > height) {
    print "over the edge: " word " at " left ", " top
    bad++
  }
  for (i = first; i < count; i++)
    if (left + slack < r[i] && l[i] + slack < right && top + slack < b[i] && t[i] + slack < bottom) {
      print "on each other: " w[i] " and " word " at " left ", " top
      bad++
    }
  l[count] = left; t[count] = top; r[count] = right; b[count] = bottom; w[count++] = word
}

END {
  print count + 0 " words"
  exit bad > 0 || count < least
}
