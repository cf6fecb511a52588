;;; springline-mode.el --- Case plans in orthodontics -*- lexical-binding: t -*-

;; Version: 0.1.0
;; Keywords: languages
;; Package-Requires: ((emacs "28.1"))

;;; Commentary:

;; Colours, comments and indentation of .spring files, and the language server through eglot.

;;; Code:

(require 'springline-words)

(defgroup springline nil
  "Case plans in orthodontics."
  :group 'languages)

(defcustom springline-server '("springline" "lsp")
  "The command that starts the language server.
It is read each time a server is started."
  :type '(repeat string)
  :group 'springline)

(defcustom springline-settings nil
  "Settings of the server as a plist, such as (:typingPause 800).
They are read each time a server is started."
  :type 'plist
  :group 'springline)

(defvar springline-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?/ ". 12" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?- "w" table)
    (modify-syntax-entry ?\" "\"" table)
    table)
  "Words have hyphens; // begins a comment.")

(defvar springline-font-lock-keywords
  `((,(concat "^[ \t]*" (regexp-opt springline-statements 'words)) 1 font-lock-keyword-face)
    (,(regexp-opt springline-words 'words) . font-lock-builtin-face)
    ("\\b[0-9]+\\(?:\\.[0-9]+\\)?\\b" . font-lock-constant-face)
    ("#[0-9A-Za-z]+" . font-lock-constant-face)
    (,(concat "[0-9][ \t]*" (regexp-opt springline-units t) "\\>") 1 font-lock-type-face))
  "Statements, other words, numbers, teeth, units.")

(defun springline-indent-line ()
  "Two blanks for each open brace."
  (interactive)
  (let* ((depth (save-excursion
                  (beginning-of-line)
                  (skip-chars-forward " \t")
                  (- (car (syntax-ppss)) (if (eq (char-after) ?}) 1 0))))
         (column (* 2 (max 0 depth))))
    (if (<= (current-column) (current-indentation))
        (indent-line-to column)
      (save-excursion (indent-line-to column)))))

(defvar springline-imenu-expression
  '(("Arches" "^\\(upper\\|lower\\)\\_>" 1)
    ("Steps" "^[ \t]*\\(?:step\\|change\\)[ \t]+\\([^ \t\n,{]+\\)" 1)
    ("Visits" "^\\(seen[ \t]+[-0-9]+\\)" 1)
    ("Wires" "^wire[ \t]+\\([^ \t\n,]+\\)" 1)
    ("Brackets" "^\\(?:bracket\\|tube\\)[ \t]+\\([^ \t\n{]+\\)" 1)
    ("Sequences" "^sequence[ \t]+\\([^ \t\n{]+\\)" 1))
  "What imenu lists of a plan or a practice file.")

;;;###autoload
(define-derived-mode springline-mode prog-mode "Springline"
  "A case plan."
  (setq-local comment-start "// ")
  (setq-local comment-start-skip "//+[ \t]*")
  (setq-local indent-tabs-mode nil)
  (setq-local indent-line-function #'springline-indent-line)
  (setq-local electric-indent-chars (append '(?}) electric-indent-chars))
  (setq-local imenu-generic-expression springline-imenu-expression)
  (setq-local font-lock-defaults '(springline-font-lock-keywords)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.spring\\'" . springline-mode))

(defvar eglot-server-programs)

(defun springline-contact (&optional _interactive)
  "The server's command and what it is told, as the settings are now."
  (if springline-settings
      (append springline-server (list :initializationOptions springline-settings))
    springline-server))

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs '(springline-mode . springline-contact)))

(provide 'springline-mode)
;;; springline-mode.el ends here
