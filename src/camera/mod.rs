//! Where frames come from: a webcam, picture files and folders, Motion-JPEG, Y4M.
