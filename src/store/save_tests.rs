//! Saving a whole file: the old one or the new one, never half of one.

use std::path::{Path, PathBuf};

use super::disk::RealDisk;
use super::faulty_disk::{FaultyDisk, How, When};
use super::save::{IfThere, save};

fn party() -> PathBuf {
    PathBuf::from("parties/supper.json")
}

#[test]
fn any_fault_and_power_cut_leaves_the_old_or_the_new_file_whole() {
    for how in [How::Error, How::Full, How::Short] {
        for op in 1..15 {
            for when in [When::Once(op), When::From(op)] {
                for seed in 0..10 {
                    let disk = FaultyDisk::new();
                    disk.put(&party(), b"the old party");
                    let faulty = disk.with(when, how);
                    let saved = save(&faulty, &party(), b"the new party", IfThere::Replace);
                    let now = disk.contents(&party()).unwrap();
                    let later = disk.after_power_cut(seed).contents(&party()).unwrap();
                    let what = format!("{how:?} {when:?} seed {seed}");
                    for text in [&now, &later] {
                        assert!(text == b"the old party" || text == b"the new party", "{what}");
                    }
                    if saved.is_ok() {
                        assert_eq!(later, b"the new party", "{what}");
                    }
                }
            }
        }
    }
}

#[test]
fn an_existing_file_is_not_replaced_unless_told() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.json");
    save(&RealDisk, &path, b"1", IfThere::Refuse).unwrap();
    let said = save(&RealDisk, &path, b"2", IfThere::Refuse).unwrap_err().to_string();
    assert!(said.ends_with(
        "there is already a file of that name; choose another name, or move the old file away first"
    ));
    assert_eq!(std::fs::read(&path).unwrap(), b"1");
    save(&RealDisk, &path, b"3", IfThere::Replace).unwrap();
    assert_eq!(std::fs::read(&path).unwrap(), b"3");
    let left: Vec<_> = std::fs::read_dir(dir.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "no draft is left behind");
}

#[test]
fn a_draft_left_by_a_killed_program_is_no_obstacle() {
    let disk = FaultyDisk::new();
    let draft = format!("parties/supper.json.{}.tmp", std::process::id());
    disk.put(Path::new(&draft), b"half a pa");
    save(&disk, &party(), b"party", IfThere::Refuse).unwrap();
    assert_eq!(disk.contents(&party()).unwrap(), b"party");
    assert_eq!(disk.names(), [party()]);
}

#[cfg(unix)]
#[test]
fn rights_links_and_read_only_marks_are_respected() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let dir = tempfile::tempdir().unwrap();
    let (path, link) = (dir.path().join("a.json"), dir.path().join("link.json"));
    std::fs::write(&path, "1").unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o640)).unwrap();
    symlink(&path, &link).unwrap();
    save(&RealDisk, &link, b"2", IfThere::Replace).unwrap();
    assert_eq!(std::fs::read(&path).unwrap(), b"2", "the file behind the link was written");
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o440)).unwrap();
    let said = save(&RealDisk, &path, b"3", IfThere::Replace).unwrap_err().to_string();
    assert!(said.contains("marked read-only"), "{said}");
    assert_eq!(std::fs::read(&path).unwrap(), b"2");
}
