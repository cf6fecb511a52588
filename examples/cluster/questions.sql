-- Aligning wires: how long until they are passive, and the largest force as they go in (the question of robustness.md)
select wire, count(*) as steps, count(distinct (folder, chart)) as cases,
    round(median(passive_median_weeks), 1) as weeks, round(quantile_cont(passive_late_weeks, 0.9), 1) as late_weeks,
    round(quantile_cont(peak_g, 0.9)) as peak_g_90
  from steps
  where may_print and step = 'align' group by wire order by cases desc, wire;

-- Recorded steps: weeks that wires were in, beside the weeks in which half of the patients were expected to be through
select wire, count(*) as steps, round(median(date_out - date_in) / 7, 1) as weeks_in,
    round(median(passive_median_weeks), 1) as weeks_expected
  from steps
  where recorded and date_in is not null and date_out is not null and passive_median_weeks is not null
  group by wire order by steps desc, wire;

-- Practices: cases, and those that may not be printed because of an error
select folder, count(distinct chart) as cases, count(distinct chart) filter (not may_print) as held_back
  from steps
  group by folder order by folder;
