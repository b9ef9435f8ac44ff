# Times of R for the bench `insight`: Turnbull's curve by survival's survfit, ICC(2,1) with all mean squares and F
# intervals by plain vectors. Prints name, seconds (median of three; one of a long one), value.
folder <- commandArgs(trailingOnly = TRUE)[1]
suppressMessages(library(survival))
timed <- function(name, f, turns = 3) {
  times <- numeric(turns)
  for (i in seq_len(turns)) times[i] <- system.time(value <- f())[["elapsed"]]
  cat(name, median(times), format(value, digits = 15), "\n")
}
blocks <- read.csv(file.path(folder, "blocks.csv"))
left <- ifelse(blocks$after == 0, NA, blocks$after)
right <- ifelse(is.infinite(blocks$by), NA, blocks$by)
few <- if (nrow(blocks) > 20000) 1 else 3
timed("survfit", turns = few, function() {
  curve <- survfit(Surv(left, right, type = "interval2") ~ 1)
  summary(curve, times = 28, extend = TRUE)$surv
})
claws <- as.matrix(read.csv(file.path(folder, "claws.csv")))
timed("icc", function() {
  n <- nrow(claws); k <- ncol(claws); all <- mean(claws)
  rows <- rowMeans(claws); columns <- colMeans(claws)
  targets <- k * sum((rows - all)^2) / (n - 1)
  within <- sum((claws - rows)^2)
  judges <- n * sum((columns - all)^2)
  error <- (within - judges) / ((n - 1) * (k - 1))
  judges <- judges / (k - 1)
  within <- within / (n * (k - 1))
  qf(c(0.025, 0.975), n - 1, n * (k - 1)); qf(c(0.025, 0.975), n - 1, (n - 1) * (k - 1))
  (targets - error) / (targets + (k - 1) * error + k * (judges - error) / n)
})
