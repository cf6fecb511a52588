;;; emacs.el --- a session as a doctor would have it -*- lexical-binding: t -*-
(require 'eglot)
(require 'flymake)
(require 'springline-mode)

(setq eglot-server-programs
      (list (cons 'springline-mode (list (getenv "SPRINGLINE_LSP"))))
      eglot-sync-connect 30
      eglot-connect-timeout 30
      make-backup-files nil)

(defvar found '())
(defun say (&rest parts) (push (mapconcat (lambda (p) (format "%s" p)) parts " ") found))

(defun until (what test)
  "Wait until TEST holds, or fail with WHAT."
  (let ((end (+ (float-time) 30)))
    (while (and (not (funcall test)) (< (float-time) end))
      (accept-process-output nil 0.05))
    (unless (funcall test) (error "Not in time: %s" what))))

(find-file "case.spring")
(say "mode" major-mode)
(call-interactively #'eglot)
(flymake-mode 1)

(goto-char (point-min))
(search-forward "use saltmarsh")
(replace-match "// 😀 é\nusee saltmarsh")
(eglot--signal-textDocument/didChange)
(until "the mistake"
       (lambda () (flymake-start)
         (seq-some (lambda (d) (string-match-p "usee" (flymake-diagnostic-text d)))
                   (flymake-diagnostics))))
(say "broken" "usee")
(goto-char (point-min))
(search-forward "usee saltmarsh")
(replace-match "use   saltmarsh // 😀")
(eglot--signal-textDocument/didChange)

(goto-char (point-min))
(search-forward "tooth 12")
(backward-char 1)
(let* ((hover (jsonrpc-request (eglot-current-server) :textDocument/hover
                               (eglot--TextDocumentPositionParams)))
       (text (plist-get (plist-get hover :contents) :value)))
  (say "hover" (and (string-match "upper right lateral incisor" text) (match-string 0 text))))

(write-region (point-min) (point-max) "before.txt")
(eglot-format-buffer)
(write-region (point-min) (point-max) "after.txt")
(with-temp-file "found.txt" (insert (mapconcat #'identity (nreverse found) "\n")))
(set-buffer-modified-p nil)
(kill-emacs 0)
