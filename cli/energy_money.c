/* energy_money.c - what the year's saving costs and pays, and how sure it is */

#include "energy_money.h"

#include <math.h>

#include "json.h"
#include "wrapped.h"

/* ---- text ---- */

typedef struct figure {
  char text[40];
} figure;

/* Two significant figures: none of this is known better. */
static figure two_figures_of(double value) {
  figure f = {"0"};
  if (value == 0.0 || !isfinite(value))
    return f;
  double size = floor(log10(fabs(value))), unit = pow(10, size - 1);
  double rounded = round(value / unit) * unit;
  size = floor(log10(fabs(rounded)) + 1e-9); /* 9.97 has become 10 */
  snprintf(f.text, sizeof f.text, "%.*f", size < 1 ? (int)(1 - size) : 0, rounded);
  return f;
}

static const char *currency_of(const eb_energy *energy) {
  const char *currency = energy->saving.currency;
  return currency != NULL && currency[0] != '\0' ? currency : "in money";
}

static bool said(const char *text) {
  return text != NULL && text[0] != '\0';
}

/* A row of figures beside when they held and where they are from. */
static void dated_row(const char *what, const char *figures, const char *date, const char *source,
                      FILE *out) {
  static const size_t widths[] = {18, 50, 10, 16};
  const char *cells[] = {what, figures, said(date) ? date : "", said(source) ? source : ""};
  wrapped_row(cells, widths, 4, out);
}

static void doubt_text(const eb_energy *energy, FILE *out) {
  if (energy->n_weights == 0 || !(energy->weights[0].share > 0.0))
    return;
  const eb_energy_weight *most = energy->weights;
  fprintf(out, "%s of the doubt comes from the %s (%.0f %%)", most->share >= 0.5 ? "Most" : "Much",
          most->input, most->share * 100);
  for (size_t i = 1; i < energy->n_weights && i < 3 && energy->weights[i].share >= 0.05; i++)
    fprintf(out, ", %s%s %.0f %%", i == 1 ? "then " : "", energy->weights[i].input,
            energy->weights[i].share * 100);
  fputc('\n', out);
}

static void price_text(const char *what, const eb_price *price, const char *currency, FILE *out) {
  char figures[160], at[40] = "", carbon[40] = "";
  if (!price->given)
    return;
  if (price->efficiency != 1.0)
    snprintf(at, sizeof at, " at %.3g %%", price->efficiency * 100);
  if (!isnan(price->carbon_kg_kwh))
    snprintf(carbon, sizeof carbon, ", %.3g kg carbon dioxide", price->carbon_kg_kwh);
  snprintf(figures, sizeof figures, "%.4g %s a kWh%s%s", price->per_kwh, currency, at, carbon);
  dated_row(what, figures, price->date, price->source, out);
}

static void prices_text(const eb_energy *energy, FILE *out) {
  const char *currency = currency_of(energy);
  if (!energy->electricity_price.given && !energy->heating_price.given)
    return;
  fputs("\nPrices taken\n", out);
  price_text("  electricity", &energy->electricity_price, currency, out);
  price_text("  heating", &energy->heating_price, currency, out);
  if (!isnan(energy->cost_per_day))
    fprintf(out, "Fans, controls and frost protection cost %s %s a day\n",
            two_figures_of(energy->cost_per_day).text, currency);
}

static void years_text(const char *what, double years, double judged, FILE *out) {
  if (isnan(years))
    fprintf(out, "  %-18s not defined\n", what);
  else if (years == 0.0)
    fprintf(out, "  %-18s at once\n", what);
  else
    fprintf(out, "  %-18s %s years%s\n", what, two_figures_of(years).text,
            years > judged ? ", longer than it is judged over" : "");
}

/* "-3100 GBP over 20 years at 3 % interest and 1 % growth of prices". */
static void worth_text(const eb_energy *energy, FILE *out) {
  const eb_investment *investment = &energy->investment;
  if (!isnan(investment->net_present_value))
    fprintf(out, "  %-18s %s %s over %.3g years, interest %.3g %%, growth of prices %.3g %%\n",
            "net present value", two_figures_of(investment->net_present_value).text,
            currency_of(energy), investment->years, investment->interest * 100,
            investment->growth * 100);
  if (!isnan(investment->internal_rate))
    fprintf(out, "  %-18s %s %% a year\n", "internal rate",
            two_figures_of(investment->internal_rate * 100).text);
  if (!isnan(investment->annual_cost))
    fprintf(out, "  %-18s %s %s a year for the price alone\n", "annual cost",
            two_figures_of(investment->annual_cost).text, currency_of(energy));
}

static void price_paid_text(const eb_energy *energy, FILE *out) {
  const eb_investment *investment = &energy->investment;
  char figures[160], avoided[60] = "";
  if (investment->avoided > 0.0)
    snprintf(avoided, sizeof avoided, ", %.12g of it spent anyway", investment->avoided);
  snprintf(figures, sizeof figures, "%.12g %s%s", investment->price, currency_of(energy), avoided);
  dated_row("  price", figures, investment->date, investment->source, out);
}

static void yearly_text(const eb_energy *energy, FILE *out) {
  const eb_investment *investment = &energy->investment;
  if (isnan(investment->yearly))
    return;
  fprintf(out, "  %-18s %s %s", investment->yearly < 0.0 ? "lost a year" : "gained a year",
          two_figures_of(fabs(investment->yearly)).text, currency_of(energy));
  if (investment->upkeep > 0.0)
    fprintf(out, ", upkeep of %.12g counted", investment->upkeep);
  if (investment->avoided_upkeep > 0.0)
    fprintf(out, ", %.12g of upkeep spared", investment->avoided_upkeep);
  fputc('\n', out);
}

static void investment_text(const eb_energy *energy, FILE *out) {
  static const size_t widths[] = {19, 78};
  const eb_investment *investment = &energy->investment;
  if (!investment->given)
    return;
  fputs("\nDoes it pay?\n", out);
  price_paid_text(energy, out);
  yearly_text(energy, out);
  years_text("payback", investment->payback_years, investment->years, out);
  years_text("in today's money", investment->discounted_payback_years, investment->years, out);
  worth_text(energy, out);
  if (investment->why != NULL)
    wrapped_row((const char *[]){"  why not defined", investment->why}, widths, 2, out);
}

bool energy_money_text(const eb_energy *energy, const cli_units *units, FILE *out) {
  (void)units;
  doubt_text(energy, out);
  prices_text(energy, out);
  investment_text(energy, out);
  return true;
}

/* ---- JSON ---- */

static json_t *range_json(const eb_energy *energy) {
  json_t *object = json_object(), *weights = json_array();
  json_put_number(object, "low_kwh", energy->range_low_kwh);
  json_put_number(object, "high_kwh", energy->range_high_kwh);
  json_put_number(object, "confidence_percent", energy->range_confidence * 100);
  for (size_t i = 0; i < energy->n_weights; i++) {
    const eb_energy_weight *weight = &energy->weights[i];
    json_t *one = json_object();
    json_put_text(one, "input", weight->input);
    json_put_number(one, "deviation", weight->deviation);
    json_put(one, "relative", json_boolean(weight->relative));
    json_put(one, "given", json_boolean(weight->given));
    json_put_number(one, "effect_kwh", weight->effect_kwh);
    json_put_number(one, "share_percent", weight->share * 100);
    json_add(weights, one);
  }
  json_put(object, "weights", weights);
  return object;
}

static void put_origin(json_t *object, const char *date, const char *source) {
  json_put_text(object, "date", said(date) ? date : NULL);
  json_put_text(object, "source", said(source) ? source : NULL);
}

static json_t *price_json(const eb_price *price) {
  if (!price->given)
    return json_null();
  json_t *object = json_object();
  json_put_number(object, "per_kwh", price->per_kwh);
  json_put_number(object, "carbon_kg_per_kwh", price->carbon_kg_kwh);
  json_put_number(object, "efficiency", price->efficiency);
  put_origin(object, price->date, price->source);
  return object;
}

static json_t *investment_json(const eb_investment *investment) {
  if (!investment->given)
    return json_null();
  json_t *object = json_object();
  const struct {
    const char *key;
    double value;
  } figures[] = {
      {"price", investment->price},
      {"avoided", investment->avoided},
      {"upkeep_per_year", investment->upkeep},
      {"avoided_upkeep_per_year", investment->avoided_upkeep},
      {"gain_per_year", investment->yearly},
      {"years", investment->years},
      {"interest", investment->interest},
      {"growth", investment->growth},
      {"net_present_value", investment->net_present_value},
      {"payback_years", investment->payback_years},
      {"discounted_payback_years", investment->discounted_payback_years},
      {"internal_rate", investment->internal_rate},
      {"annual_cost", investment->annual_cost},
  };
  for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
    json_put_number(object, figures[i].key, figures[i].value);
  json_put_text(object, "why", investment->why);
  put_origin(object, investment->date, investment->source);
  return object;
}

void energy_money_json(const eb_energy *energy, json_t *object) {
  json_t *prices = json_object();
  json_put(object, "range", range_json(energy));
  json_put(prices, "electricity", price_json(&energy->electricity_price));
  json_put(prices, "heating", price_json(&energy->heating_price));
  json_put(object, "prices", prices);
  json_put_number(object, "cost_per_day", energy->cost_per_day);
  json_put(object, "investment", investment_json(&energy->investment));
}
