#!/bin/sh
# Prices, payback and the band of the saving: the house of doc/costs.md and changes to it.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/costs.md
house=$work/house.yaml
awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside { print }' "$document" >"$house"

told() {
  exits 0 "$EVENBREATH" energy "$house" && says "of the doubt comes from the" &&
    says "Prices taken" && says "0.11 GBP a kWh at 90 %" && says "our bill" && says "a day" &&
    says "Does it pay?" && says "two quotations" && says "payback" && says "net present value"
}
check "the house of the document" told

narrow() {
  exits 0 "$EVENBREATH" energy "$house" &&
    [ "$(awk 'length > 100' "$work/out" | wc -l)" -eq 0 ]
}
check "no line is wider than 100 columns" narrow

all_given() {
  exits 0 "$EVENBREATH" energy "$house" || return 1
  ! grep -q "standard deviations" "$work/err"
}
check "no deviation is taken where all are given" all_given

some_taken() {
  sed '/^uncertainty/d' "$house" >"$work/bare.yaml"
  exits 0 "$EVENBREATH" energy "$work/bare.yaml" && says "leakage 40 %" &&
    exits 0 "$EVENBREATH" energy --set 'uncertainty={leakage: 7 %}' "$work/bare.yaml" || return 1
  grep -q "standard deviations" "$work/err" && ! grep -q "leakage 40 %" "$work/err"
}
check "those taken are told" some_taken

never() {
  exits 0 "$EVENBREATH" energy --set 'costs.investment.service=900 per year' "$house" &&
    says "lost a year" && says "never: the upkeep" || return 1
  ! grep -qi 'inf\b\|nan\b\|payback *-' "$work/out"
}
check "what is never paid back is told in words" never

no_rates() {
  sed 's/years: 20, interest: 3 %, growth: 1 %, //' "$house" >"$work/rates.yaml"
  exits 0 "$EVENBREATH" energy --json "$work/rates.yaml" && says '"net_present_value": null' &&
    says '`years:` is not given' && says '"payback_years": '
}
check "without years and interest only the payback" no_rates

undated() {
  sed 's/, date: 2026-11, source: our bill//' "$house" >"$work/undated.yaml"
  exits 0 "$EVENBREATH" energy "$work/undated.yaml" && says 'has no `date:` and no `source:`'
}
check "prices without a date are asked for one" undated

json() {
  exits 0 "$EVENBREATH" energy --json "$house" && says '"weights"' && says '"share_percent"' &&
    says '"cost_per_day"' && says '"discounted_payback_years"' && says '"source": "two quotations"'
}
check "JSON has all of it" json

explained() {
  exits 0 "$EVENBREATH" energy --explain "$house" && says "net-present-value:" &&
    says "yearly-gain:" && says "saving-range:"
}
check "--explain says how" explained

no_money() {
  sed '/^costs/,/source: two/d' "$house" >"$work/free.yaml"
  exits 0 "$EVENBREATH" energy --json "$work/free.yaml" && says '"investment": null' &&
    says '"cost_per_day": null' && exits 0 "$EVENBREATH" energy "$work/free.yaml" || return 1
  ! grep -q "Prices taken\|Does it pay" "$work/out"
}
check "without costs no money is told" no_money

refused() {
  exits 3 "$EVENBREATH" check --set 'costs.investment={price: 4500, filters: 48}' "$house" &&
    says "per year" && exits 3 "$EVENBREATH" check --set 'costs.investment={years: 20}' "$house" &&
    says "price" && exits 3 "$EVENBREATH" check --set 'uncertainty={flow: 130 %}' "$house" &&
    exits 3 "$EVENBREATH" check --set 'uncertainty={flows: 10 %}' "$house" && says "flow"
}
check "a bare yearly sum, no price, too unsure, a key unknown" refused

for key in price avoided filters service avoided_service years interest growth date source; do
  known() {
    grep -q "^| .*\`$key\`" "$document" || return 1
    "$EVENBREATH" check --set "costs.investment.$key=[]" "$house" >"$work/out" 2>&1
    grep -q error "$work/out" && ! grep -q "is not a key of" "$work/out"
  }
  check "investment: $key" known
done

for key in flow ratio degree_days leakage gains baseline heat_loss; do
  unsure() {
    grep -q "^| \`$key\` |" "$document" || return 1
    "$EVENBREATH" check --set "uncertainty.$key=[]" "$house" >"$work/out" 2>&1
    grep -q error "$work/out" && ! grep -q "is not a key of" "$work/out"
  }
  check "uncertainty: $key" unsure
done

done_checking
