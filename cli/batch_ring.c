#include "batch_ring.h"

#include <pthread.h>
#include <stdlib.h>

struct batch_ring {
  pthread_mutex_t lock;
  pthread_cond_t space, work;
  batch_write write;
  void *user;
  size_t n_slots;
  unsigned long long filled, taken, written; /* of all slots ever, so written <= taken <= filled */
  bool closed, stopped, writing;
  batch_slot slots[];
};

batch_ring *batch_ring_new(size_t n_slots, batch_write write, void *user) {
  batch_ring *ring = calloc(1, sizeof *ring + n_slots * sizeof ring->slots[0]);
  if (!ring)
    return NULL;
  pthread_mutex_init(&ring->lock, NULL);
  pthread_cond_init(&ring->space, NULL);
  pthread_cond_init(&ring->work, NULL);
  ring->n_slots = n_slots;
  ring->write = write;
  ring->user = user;
  return ring;
}

void batch_ring_free(batch_ring *ring) {
  if (!ring)
    return;
  for (size_t i = 0; i < ring->n_slots; i++) {
    batch_document_free(&ring->slots[i].document);
    free(ring->slots[i].line);
    free(ring->slots[i].reason);
  }
  pthread_cond_destroy(&ring->work);
  pthread_cond_destroy(&ring->space);
  pthread_mutex_destroy(&ring->lock);
  free(ring);
}

static batch_slot *slot_at(batch_ring *ring, unsigned long long number) {
  return &ring->slots[number % ring->n_slots];
}

batch_slot *batch_ring_free_slot(batch_ring *ring) {
  pthread_mutex_lock(&ring->lock);
  while (!ring->stopped && ring->filled - ring->written == ring->n_slots)
    pthread_cond_wait(&ring->space, &ring->lock);
  batch_slot *slot = ring->stopped ? NULL : slot_at(ring, ring->filled);
  pthread_mutex_unlock(&ring->lock);
  return slot;
}

void batch_ring_filled(batch_ring *ring) {
  pthread_mutex_lock(&ring->lock);
  ring->filled++;
  pthread_cond_signal(&ring->work);
  pthread_mutex_unlock(&ring->lock);
}

void batch_ring_close(batch_ring *ring, bool stop) {
  pthread_mutex_lock(&ring->lock);
  ring->closed = true;
  ring->stopped = ring->stopped || stop;
  pthread_cond_broadcast(&ring->work);
  pthread_cond_broadcast(&ring->space);
  pthread_mutex_unlock(&ring->lock);
}

batch_slot *batch_ring_take(batch_ring *ring) {
  batch_slot *slot = NULL;
  pthread_mutex_lock(&ring->lock);
  while (!ring->stopped && !ring->closed && ring->taken == ring->filled)
    pthread_cond_wait(&ring->work, &ring->lock);
  if (!ring->stopped && ring->taken < ring->filled)
    slot = slot_at(ring, ring->taken++);
  pthread_mutex_unlock(&ring->lock);
  return slot;
}

/* A buffer that one large house made is not kept for the next. */
static void empty(batch_slot *slot) {
  enum { KEPT = 1 << 20 };
  free(slot->line);
  free(slot->reason);
  slot->line = slot->reason = NULL;
  slot->done = false;
  if (slot->document.capacity <= KEPT)
    return;
  free(slot->document.bytes);
  slot->document.bytes = NULL;
  slot->document.capacity = slot->document.length = 0;
}

/* With the lock held, and let go while the line is written. */
static void write_finished(batch_ring *ring) {
  while (!ring->stopped && ring->written < ring->taken && slot_at(ring, ring->written)->done) {
    batch_slot *slot = slot_at(ring, ring->written);
    pthread_mutex_unlock(&ring->lock);
    bool good = ring->write(ring->user, slot);
    empty(slot);
    pthread_mutex_lock(&ring->lock);
    ring->written++;
    ring->stopped = ring->stopped || !good;
    if (ring->stopped)
      pthread_cond_broadcast(&ring->work);
    pthread_cond_signal(&ring->space);
  }
}

void batch_ring_finish(batch_ring *ring, batch_slot *slot) {
  pthread_mutex_lock(&ring->lock);
  slot->done = true;
  if (!ring->writing) {
    ring->writing = true;
    write_finished(ring);
    ring->writing = false;
  }
  pthread_mutex_unlock(&ring->lock);
}
