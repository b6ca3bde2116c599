/* network_chance.h - networks by chance, the same for the same seed
 *
 * Built into the network of network_help.h. */

#ifndef NETWORK_CHANCE_H
#define NETWORK_CHANCE_H

/* A fixed sequence in 0..1. */
double net_chance(unsigned *state);

/* Tees and ducts thrown together: trees, loops, all patterns of flow. */
void net_thrown_together(unsigned seed);

/* How a house by chance is run. */
typedef enum net_running {
  NET_BOTH_FANS,
  NET_SUPPLY_ALONE, /* the extract fan turns by a thousandth, the wind blows through it */
  NET_EXTRACT_SHUT,
  NET_MINUTE, /* both fans at a millionth of their speed, and no wind */
  NET_RUNNINGS
} net_running;

/* A house: an outdoor and an exhaust duct, fans, supply and extract trees of ducts with boxes or
 * tees, rooms that leak to outdoors, and doors from the rooms to a hall. */
void net_house_by_chance(unsigned seed, net_running running);

#endif
