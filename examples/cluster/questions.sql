-- Aligning wires: weeks until passive, and the largest force on insertion (the query of robustness.md)
select wire, count(*) as steps, count(distinct (folder, chart)) as cases,
    round(median(passive_median_weeks), 1) as weeks, round(quantile_cont(passive_late_weeks, 0.9), 1) as late_weeks,
    round(quantile_cont(peak_g, 0.9)) as peak_g_90
  from steps
  where may_print and step = 'align' group by wire order by cases desc, wire;

-- Completed steps: weeks the wire was in, and the predicted median weeks until passive
select wire, count(*) as steps, round(median(date_out - date_in) / 7, 1) as weeks_in,
    round(median(passive_median_weeks), 1) as weeks_predicted
  from steps
  where recorded and date_in is not null and date_out is not null and passive_median_weeks is not null
  group by wire order by steps desc, wire;

-- Practices: cases, and cases on hold because of an error
select folder, count(distinct chart) as cases, count(distinct chart) filter (not may_print) as on_hold
  from steps
  group by folder order by folder;
