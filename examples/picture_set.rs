//! Makes a picture of every part in every colour of a sheet, as `pictures` in the sheet's folder, with their
//! table: what sheets with pictures are measured with. `-- SHEET [DPI]`; the sheet must name `pictures` itself.

#[path = "../tests/picture_set/mod.rs"]
mod picture_set;

use std::path::Path;

use picture_set::{Camera, HEAD};
use shadecard::diag::Sources;
use shadecard::plan::{Look, Style};
use shadecard::range::{PartId, load};

fn main() {
    let mut args = std::env::args().skip(1);
    let sheet_file = args.next().expect("a sheet file");
    let dpi = args.next().map_or(400.0, |dpi| dpi.parse().expect("a number"));
    let folder = Path::new(&sheet_file).parent().expect("a folder").join("pictures");
    let loaded = load(Path::new(&sheet_file), &mut Sources::default());
    let loaded = loaded.unwrap_or_else(|faults| panic!("{:?}", faults.sorted()));
    let (range, sheet) = (loaded.range, loaded.sheet);
    std::fs::create_dir_all(&folder).expect("made");
    let style = Style::shipped("plate").expect("a style");
    let look = Look::new(&style, 210.0, 297.0, 1.0).expect("faces");
    let camera = Camera::new(&range, &look, dpi);
    let (mut table, mut count) = (HEAD.to_owned(), 0);
    for colour in sheet.families().iter().flat_map(|f| f.rows()).copied() {
        for part in (0..range.parts().len()).map(PartId).filter(|p| range.is_made(colour, *p)) {
            let taken = camera.take(part, colour);
            let (part, colour) = (range.part(part).key(), range.colour(colour).key());
            let file = folder.join(format!("{part}.{colour}.png"));
            std::fs::write(file, taken.png()).expect("written");
            table.push_str(&taken.line(part, colour));
            count += 1;
        }
    }
    std::fs::write(folder.join("pictures.csv"), table).expect("written");
    println!("{count} pictures in {}", folder.display());
}
