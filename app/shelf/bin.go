package shelf

import "time"

// Delete puts an exercise into the bin, from where [Shelf.Restore] brings it
// back, and forgets what was in the bin before. The record stays where it is
// and says when it was deleted, so that no moment is without it. Where the
// device is so full that not even that finds room, nothing changes; [Shelf.Forget]
// then makes room.
func (s Shelf) Delete(id string, now time.Time) error {
	r, err := s.get(id)
	if err != nil {
		return err
	}
	before := s.Bin()
	r.Deleted = now
	if err := s.records.Put(Prefix+id, r.write()); err != nil {
		return &NotKept{r.Text, err}
	}
	for _, old := range before {
		if old.ID != id {
			_ = s.Forget(old.ID) // it only takes room until the next time
		}
	}
	return nil
}

// Restore brings an exercise back from the bin.
func (s Shelf) Restore(id string) error {
	r, err := s.get(id)
	if err != nil {
		return err
	}
	r.Deleted = time.Time{}
	if err := s.records.Put(Prefix+id, r.write()); err != nil {
		return &NotKept{r.Text, err}
	}
	return nil
}

// Forget deletes a record for good, whatever is in it.
func (s Shelf) Forget(id string) error { return s.records.Delete(Prefix + id) }
