# A study's data set read by R: number, sum and mean by dimension must be those of dimensions.csv.
folder <- commandArgs(trailingOnly = TRUE)[1]
readings <- read.csv(file.path(folder, "readings.csv"), na.strings = "", colClasses = c(tag = "character"))
ours <- read.csv(file.path(folder, "dimensions.csv"), na.strings = "")
stopifnot(nrow(readings) > 0, nrow(ours) > 0, all(readings$dimension %in% ours$dimension))
stopifnot(sum(ours$readings) == nrow(readings))
for (i in seq_len(nrow(ours))) {
  here <- readings[readings$dimension == ours$dimension[i], ]
  # Doubles hold these sums exactly (below 2^53).
  stopifnot(nrow(here) == ours$readings[i], sum(as.numeric(here$length_nm)) == ours$sum_nm[i])
  if (nrow(here) > 0) {
    stopifnot(abs(mean(here$length_mm) - ours$mean_mm[i]) < 1e-9)
    stopifnot(min(here$length_mm) == ours$least_mm[i], max(here$length_mm) == ours$most_mm[i])
  }
}
stopifnot(!any(is.na(as.Date(readings$day))))
cat(nrow(readings), "readings agree\n")
