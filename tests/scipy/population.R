#!/usr/bin/env Rscript
# `figure weibull` and `figure survival` beside the package survival of R, on generated lives, to six digits.
# Usage: population.R WITNESSMARK
suppressPackageStartupMessages({
  library(survival)
  library(jsonlite)
})

program <- commandArgs(trailingOnly = TRUE)[1]
wrong <- 0

answer <- function(topic, data) {
  file <- tempfile(fileext = ".csv")
  on.exit(unlink(file))
  write.csv(data, file, row.names = FALSE, quote = FALSE)
  said <- system2(program, c("figure", topic, file, "--json"), stdout = TRUE, stderr = TRUE)
  fromJSON(paste(said, collapse = "\n"))
}

check <- function(what, found, wanted, digits = 1e-6) {
  good <- length(found) == length(wanted) && all(abs(found - wanted) <= digits * pmax(abs(wanted), 1e-9))
  if (good) return(invisible())
  wrong <<- wrong + 1
  cat("FAILED", what, ":", format(found, digits = 12), "in place of", format(wanted, digits = 12), "\n")
}

lives <- function(n, shape, scale, end) {
  time <- round(rweibull(n, shape, scale), 3) + 0.001
  stopped <- round(runif(n, 0.2 * end, end), 3)
  data.frame(time_h = pmin(time, stopped), event = as.integer(time <= stopped))
}

# Bounds by the profile of R's own likelihood: the other parameter follows by survreg (shape fixed) or optimize
# (time of a share fixed; hazard 1 is the scale). The fall allowed is the program's stated rule.
profile_bounds <- function(data, fit, what, hazard = 1) {
  failures <- sum(data$count[data$event == 1])
  allowed <- qchisq(0.95, 1) / 2 * (1 + 2.2 / failures)
  likelihood <- function(shape, scale) {
    sum(data$count * ifelse(data$event == 1, dweibull(data$time_h, shape, scale, log = TRUE),
                            pweibull(data$time_h, shape, scale, lower.tail = FALSE, log.p = TRUE)))
  }
  shape <- 1 / fit$scale
  profile <- if (what == "shape") {
    function(log_value) {
      b <- exp(log_value)
      likelihood(b, (sum(data$count * data$time_h^b) / failures)^(1 / b))
    }
  } else {
    function(log_value) {
      optimize(function(log_b) likelihood(exp(log_b), exp(log_value) / hazard^exp(-log_b)),
               log(shape) + c(-3, 3), maximum = TRUE, tol = 1e-10)$objective
    }
  }
  best <- if (what == "shape") log(shape) else coef(fit)[[1]] + log(hazard) / shape
  fall <- function(log_value) fit$loglik[2] - profile(log_value) - allowed
  far <- if (what == "shape") 3 else 8 / min(shape, 4)
  exp(c(uniroot(fall, c(best - far, best), tol = 1e-11)$root, uniroot(fall, c(best, best + far), tol = 1e-11)$root))
}

check_weibull <- function(case) {
  data <- lives(case$n, case$shape, case$scale, case$end)
  data$count <- sample(1:3, nrow(data), replace = TRUE)
  found <- answer("weibull", data)
  control <- survreg.control(rel.tolerance = 1e-13, maxiter = 200)
  fit <- survreg(Surv(time_h, event) ~ 1, data = data, weights = data$count, dist = "weibull", control = control)
  name <- sprintf("weibull shape %g", case$shape)
  check(paste(name, "shape bounds"), c(found$shape_low, found$shape_high), profile_bounds(data, fit, "shape"), 2e-5)
  check(paste(name, "scale bounds"), c(found$scale_low_h, found$scale_high_h), profile_bounds(data, fit, "time", 1), 2e-5)
  tenth <- predict(fit, newdata = data.frame(one = 1), type = "uquantile", p = 0.1)
  check(paste(name, "B10"), found$b10_h, exp(tenth[[1]]))
  check(paste(name, "B10 bounds"), c(found$b10_low_h, found$b10_high_h), profile_bounds(data, fit, "time", -log(0.9)), 2e-5)
}

check_survival <- function(groups) {
  data <- do.call(rbind, lapply(seq_len(groups), function(i) {
    cbind(group = letters[i], lives(20 + 5 * i, 1 + 0.3 * i, 1000, 1500))
  }))
  data$time_h <- round(data$time_h, -1) + 10  # ties
  found <- answer("survival", data)
  name <- sprintf("survival of %d groups", groups)
  for (group in unique(data$group)) {
    curve <- summary(survfit(Surv(time_h, event) ~ 1, data = data[data$group == group, ]))
    mine <- found$groups[[group]]
    alive <- curve$surv > 0  # R gives no error for the last step to zero
    check(paste(name, group, "times"), mine$times, curve$time)
    check(paste(name, group, "s"), mine$s, curve$surv)
    check(paste(name, group, "se"), mine$se[alive], curve$std.err[alive])
    check(paste(name, group, "at risk"), mine$at_risk, curve$n.risk)
  }
  if (groups < 2) return(invisible())
  test <- survdiff(Surv(time_h, event) ~ group, data = data)
  check(paste(name, "chi-square"), found$chi_square, test$chisq)
  check(paste(name, "dof"), found$dof, groups - 1)
  check(paste(name, "p"), found$p, pchisq(test$chisq, groups - 1, lower.tail = FALSE))
}

set.seed(20816)
cases <- list(
  list(n = 12, shape = 0.6, scale = 900, end = 2000), list(n = 40, shape = 1, scale = 5000, end = 9000),
  list(n = 150, shape = 1.5, scale = 20000, end = 30000), list(n = 400, shape = 3.2, scale = 800, end = 1200),
  list(n = 60, shape = 8, scale = 44000, end = 60000))
passed <- 0
failed <- 0
counted <- function(checks) {
  before <- wrong
  checks()
  if (wrong == before) passed <<- passed + 1 else failed <<- failed + 1
}
for (case in cases) counted(function() check_weibull(case))
for (groups in c(1, 2, 3, 5)) counted(function() check_survival(groups))

cat(sprintf("test cases: %d | %d passed | %d failed\n", passed + failed, passed, failed))
quit(status = if (failed > 0) 1 else 0)
