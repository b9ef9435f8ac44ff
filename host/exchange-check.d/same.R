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
# The expanded uncertainty again, from the repeats, by the formulas of JCGM 100:2008.
for (i in seq_len(nrow(ours))) {
  here <- readings[readings$dimension == ours$dimension[i], ]
  key <- paste(here$herd, here$cow, here$day, here$observer, here$foot, here$claw, here$moment)
  groups <- Filter(function(one) length(one) > 1, split(here$length_mm, key))
  spare <- sum(lengths(groups)) - length(groups)
  if (spare < 5) {
    stopifnot(is.na(ours$uncertainty_mm[i]))
    next
  }
  error <- sqrt(sum(sapply(groups, function(one) sum((one - mean(one))^2))) / spare)
  stopifnot(abs(error - ours$repeat_error_mm[i]) < 1e-9, spare == ours$repeats_spare[i])
  combined <- sqrt(error^2 + 0.005^2 / 3 + 0.03^2 / 3)
  expanded <- qt(0.975, floor(combined^4 / (error^4 / spare))) * combined
  stopifnot(abs(expanded - ours$uncertainty_mm[i]) < 6e-4)
  shown <- here$uncertainty_mm[here$shown_in == "mm" & here$gauge_check != "failed"]
  stopifnot(all(abs(shown - expanded) < 6e-4))
  stopifnot(all(is.na(here$uncertainty_mm[here$gauge_check == "failed"])))
}
stopifnot(!any(is.na(as.Date(readings$day))))
cat(nrow(readings), "readings agree\n")
