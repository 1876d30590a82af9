package grade

import "errors"

func ReadTake(data []byte) (Take, error) { return Take{}, errors.New("not yet") }
func WriteTake(t Take) ([]byte, error)   { return nil, errors.New("not yet") }
