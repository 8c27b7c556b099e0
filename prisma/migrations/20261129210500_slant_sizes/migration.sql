-- A slant is a container of the bench log; a farm's sizes may be slants too.
ALTER TABLE container_size
  DROP CONSTRAINT container_size_container_check,
  ADD CONSTRAINT container_size_container_check CHECK (container IN ('jar', 'bag', 'bottle', 'plate', 'syringe', 'slant'));
