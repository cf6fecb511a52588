//! The rows of a table of points as they were picked, in the table's own unit: measuring turns them into mm, and a page
//! shows them on the picture.

use serde::Serialize;
use springline_lang::units::tooth::Tooth;

/// A point of one tooth, or the contact of two.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PointRow {
    pub teeth: Vec<Tooth>,
    /// `mesial`, `distal`, `contact`, `facial`, `cusp`, `gum`.
    pub kind: &'static str,
    pub at: [f64; 3],
}

/// One end of a known length.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScaleRow {
    pub mm: f64,
    pub at: [f64; 3],
}

#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PointRows {
    /// Coordinates are pixels of a picture.
    pub pixels: bool,
    pub scale: Vec<ScaleRow>,
    pub points: Vec<PointRow>,
    /// Teeth that a remark names as missing.
    pub missing: Vec<Tooth>,
}

impl PointRows {
    /// How much of the table's unit is one millimetre.
    pub fn units_per_mm(&self) -> f64 {
        match &self.scale[..] {
            [a, b] if self.pixels && a.mm > 0.0 => {
                (0..3).map(|i| (a.at[i] - b.at[i]).powi(2)).sum::<f64>().sqrt() / a.mm
            }
            _ => 1.0,
        }
    }
}

const KINDS: [(&str, &str); 6] = [
    ("mesial", "m"),
    ("distal", "d"),
    ("contact", "contact"),
    ("facial", "f"),
    ("cusp", "c"),
    ("gum", "g"),
];

/// Columns of tooth, point and coordinates in a row; which is which stands in the first.
type Columns = [Option<usize>; 5];

/// Reads the rows; else why a page cannot go on with this table. An empty text has none.
pub fn point_rows(text: &str) -> Result<PointRows, String> {
    let mut out = PointRows::default();
    let mut columns: Option<Columns> = None;
    let mut mm = 1.0;
    let first = text.lines().find(|l| !l.trim().is_empty() && !is_remark(l)).unwrap_or("");
    let delimiter = [';', '\t'].into_iter().find(|d| first.contains(*d)).unwrap_or(',');
    for (i, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        if is_remark(line) {
            remark(line, &mut out, &mut mm);
            continue;
        }
        let cells: Vec<&str> = line.split(delimiter).map(|c| c.trim().trim_matches('"')).collect();
        let Some(columns) = columns else {
            columns = Some(head(&cells).ok_or("Its first line names no columns of points.")?);
            continue;
        };
        row(&cells, &columns, delimiter, mm, &mut out)
            .ok_or_else(|| format!("Its line {} is no point.", i + 1))?;
    }
    Ok(out)
}

/// `# by hand` is a remark, `#6,mesial` a row.
fn is_remark(line: &str) -> bool {
    let cell = line.split([',', ';', '\t']).next().unwrap_or("").trim();
    cell.starts_with('#') && !cell.split('-').all(|t| Tooth::parse(t.trim()).is_some())
}

fn remark(line: &str, out: &mut PointRows, mm: &mut f64) {
    let said = line.trim().trim_start_matches('#').trim();
    if let Some(teeth) = said.strip_prefix("missing") {
        out.missing.extend(teeth.split(',').filter_map(|t| Tooth::parse(t.trim())));
    }
    if let Some(unit) = said.strip_prefix("unit") {
        match unit.trim_start_matches([':', '=', ' ', '\t']).to_ascii_lowercase().as_str() {
            "px" => out.pixels = true,
            "cm" => *mm = 10.0,
            "in" => *mm = 25.4,
            _ => {}
        }
    }
}

fn head(cells: &[&str]) -> Option<Columns> {
    let at = |name: &str| cells.iter().position(|c| c.eq_ignore_ascii_case(name));
    let columns = ["tooth", "point", "x", "y", "z"].map(at);
    columns[..4].iter().all(Option::is_some).then_some(columns)
}

fn row(
    cells: &[&str],
    columns: &Columns,
    delimiter: char,
    mm: f64,
    out: &mut PointRows,
) -> Option<()> {
    let cell = |i: usize| columns[i].and_then(|c| cells.get(c)).copied().unwrap_or("");
    let number = |text: &str| {
        let point = if delimiter == ',' { text.to_owned() } else { text.replace(',', ".") };
        point.parse::<f64>().ok().filter(|x| x.is_finite())
    };
    let mut at = [0.0; 3];
    let is_scale = cell(0).eq_ignore_ascii_case("scale");
    for (axis, value) in at.iter_mut().enumerate().take(if columns[4].is_some() { 3 } else { 2 }) {
        match number(cell(2 + axis)) {
            Some(read) => *value = read * mm,
            None if is_scale && axis == 2 => {}
            None => return None,
        }
    }
    if is_scale {
        let mm = number(cell(1).strip_suffix("mm")?.trim())?;
        out.scale.push(ScaleRow { mm, at });
        return Some(());
    }
    let word = cell(1).to_ascii_lowercase();
    let (kind, _) = KINDS.iter().find(|(name, short)| word == *name || word == *short)?;
    let teeth: Option<Vec<Tooth>> = cell(0).split('-').map(|t| Tooth::parse(t.trim())).collect();
    let teeth = teeth.filter(|t| t.len() == if *kind == "contact" { 2 } else { 1 })?;
    out.points.push(PointRow { teeth, kind, at });
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_read_as_they_were_picked() {
        let text = "# unit px\n# missing 12, UL2\ntooth,point,x,y\nscale,30 mm,0,0\nscale,30 mm,300,400\n\
                    13-11,contact,5.5,7\n#6,distal,1,2\n16,f,3,4\n";
        let rows = point_rows(text).expect("rows");
        assert!(rows.pixels && rows.scale.len() == 2);
        assert!((rows.units_per_mm() - 500.0 / 30.0).abs() < 1e-12);
        let said: Vec<String> = rows
            .points
            .iter()
            .map(|p| format!("{:?} {} {:?}", p.teeth, p.kind, &p.at[..2]))
            .collect();
        assert_eq!(said.len(), 3);
        assert!(said[0].contains("contact [5.5, 7.0]") && said[1].contains("distal"));
        assert_eq!(rows.missing.len(), 2);
        let rows = point_rows("# unit cm\ntooth;point;x;y;z\n11;mesial;1,5;0;0\n").expect("rows");
        assert_eq!(rows.points[0].at, [15.0, 0.0, 0.0]);
    }

    #[test]
    fn another_table_is_refused() {
        for text in [
            "name,sum\na,1\n",
            "tooth,point,x,y\n12,mesial,1\n",
            "tooth,point,x,y\n12,contact,1,2\n",
            "tooth,point,x,y\n99,mesial,1,2\n",
        ] {
            assert!(point_rows(text).is_err(), "{text}");
        }
        assert_eq!(point_rows("").expect("nothing yet"), PointRows::default());
    }
}
