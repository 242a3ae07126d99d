using System.Collections.ObjectModel;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The questions of a first standard on the screen: a list to choose from, a field to type into, and the coat beside them, which grows. Built of the kit's own views.</summary>
internal sealed class FirstStandardPage : Runnable
{
    private const int WithDrawing = 64;   // columns from which the coat has room beside the questions
    private const int MostRows = 4;       // of a text; a longer one ends with a mark

    private readonly Action _end;
    private readonly Label _heading = new();
    private readonly Label _ask = new();
    private readonly Label _note = new();
    private readonly ListView _list = new() { CanFocus = false };
    private readonly Label _message = new();
    private readonly Label _sign = new() { Text = ">" };
    private readonly TextField _entry = new() { X = 2 };
    private readonly Label _keys = new();
    private readonly CoatView _coat;
    private readonly ObservableCollection<string> _rows = [];
    private readonly HashSet<string> _marked = [];
    private string _refusal = "";
    private int _selected;

    /// <summary>The page at a dialogue's question; <paramref name="end"/> ends the screen once it is answered or left.</summary>
    internal FirstStandardPage(FirstDialogue dialogue, BenchColours colours, Action end)
    {
        (Dialogue, _end) = (dialogue, end);
        Width = Dim.Fill();
        Height = Dim.Fill();
        SetScheme(Looks(colours, CellStyle.Ground));
        _ask.SetScheme(Looks(colours, CellStyle.Strong));
        _message.SetScheme(Looks(colours, CellStyle.Caution));
        _coat = new CoatView(colours);
        _list.SetSource(_rows);
        Add(_heading, _ask, _note, _list, _message, _sign, _entry, _keys, _coat);
        _entry.KeyDown += OnEntryKey;
        FrameChanged += (_, _) => Refresh();
        Begin("");
        _entry.SetFocus();
    }

    /// <summary>The dialogue as far as it was answered.</summary>
    internal FirstDialogue Dialogue { get; private set; }

    /// <summary>Asks until it is answered or left; null without a terminal. A signal leaves it open.</summary>
    internal static FirstDialogue? Ask(FirstDialogue dialogue)
    {
        FirstStandardPage? page = null;
        using BenchScreen? screen = BenchScreen.TryOpen((colours, end) => page = new FirstStandardPage(dialogue, colours, end), ScreenSettings.Usual);
        if (screen is null)
        {
            return null;
        }

        screen.Run(_ => { });
        return page!.Dialogue;
    }

    /// <summary>The coat as it is by now, with the gap that is asked about; null while nothing is placed.</summary>
    internal static FrontDrawing? Drawing(FirstDialogue dialogue)
    {
        if (dialogue.Drawn() is not var (coat, asked))
        {
            return null;
        }

        Plan plan = Plan.For(coat, new Dictionary<string, string>());
        SittingView view = SittingView.Of(Sitting.Begin(plan, new SittingEvent.Started("", "coat", "", "", plan.Answers) { At = default }));
        Item? item = asked is null ? null : plan.Items.FirstOrDefault(item => item.Name == asked.Name);
        Step? step = item is null ? null : plan.Steps.FirstOrDefault(step => step.Of == item.Id && step.Grows is not null);
        return FrontPresenter.Of(view, step is null ? new Prompt.Sign() : new Prompt.Read(step, null), []);
    }

    /// <summary>All of a view in one look, its marked row stronger: the kit's own derived colours come with <c>NO_COLOR</c> too.</summary>
    private static Scheme Looks(BenchColours colours, CellStyle style)
    {
        (Terminal.Gui.Drawing.Attribute plain, Terminal.Gui.Drawing.Attribute strong) = (colours[style], colours[CellStyle.Strong]);
        return new Scheme(plain)
        {
            HotNormal = plain,
            Editable = plain,
            ReadOnly = plain,
            Disabled = plain,
            Focus = strong,
            HotFocus = strong,
            Active = strong,
            HotActive = strong,
            Highlight = strong,
        };
    }

    private FirstQuestion? Question => Dialogue.Question;

    private void OnEntryKey(object? sender, Key key)
    {
        bool isEmpty = _entry.Text.Length == 0;
        int choices = Question?.Choices.Count ?? 0;
        if (key == Key.Q.WithCtrl || key == Key.C.WithCtrl || key == Key.F12)
        {
            key.Handled = true;
            FirstDialogue left = Dialogue.Leave();
            Go(ReferenceEquals(left, Dialogue) ? Dialogue.Take("").Next : left, "");   // asked already: the usual answer
        }
        else if (key == Key.Esc)
        {
            key.Handled = true;
            Go(Dialogue.Back(), Dialogue.Last);
        }
        else if (key == Key.Enter)
        {
            key.Handled = true;
            Take();
        }
        else if (choices > 0 && (key == Key.CursorDown || key == Key.CursorUp))
        {
            key.Handled = true;
            _entry.Text = "";
            _selected = (_selected + (key == Key.CursorDown ? 1 : choices - 1)) % choices;
            Refresh();
        }
        else if (key == Key.Space && isEmpty && Question is { TakesMany: true } question)
        {
            key.Handled = true;
            string answer = question.Choices[_selected].Answer;
            _ = _marked.Remove(answer) || _marked.Add(answer);
            Refresh();
        }
    }

    private void Take()
    {
        string typed = _entry.Text.Trim();
        string answer = typed.Length > 0 || Question is not { Choices.Count: > 0 } question ? typed
            : !question.TakesMany ? question.Choices[_selected].Answer
            : _marked.Count > 0 ? string.Join(' ', _marked) : "0";
        (FirstDialogue next, string? refusal) = Dialogue.Take(answer);
        if (refusal is null)
        {
            Go(next, "");
        }
        else
        {
            Dialogue = next;
            _refusal = refusal;
            Refresh();
        }
    }

    private void Go(FirstDialogue next, string answer)
    {
        Dialogue = next;
        if (next.Question is null)
        {
            _end();
        }
        else
        {
            Begin(answer);
        }
    }

    /// <summary>Shows the question, with the answer that was taken back.</summary>
    private void Begin(string answer)
    {
        FirstQuestion question = Question!;
        string[] chosen = (answer.Length > 0 ? answer : question.Usual).Split(' ');
        _marked.Clear();
        _marked.UnionWith(question.TakesMany ? chosen : []);
        int at = question.Choices.ToList().FindIndex(choice => choice.Answer == (question.TakesMany ? chosen[0] : answer.Length > 0 ? answer : question.Usual));
        _selected = Math.Max(0, at);
        _refusal = "";
        _entry.Text = at >= 0 ? "" : answer;
        _entry.MoveEnd();
        Refresh();
    }

    private void Refresh()
    {
        if (Question is not { } question)
        {
            return;
        }

        (int width, int height) = (Math.Max(2, Viewport.Width), Viewport.Height);
        FrontDrawing? coat = width >= WithDrawing ? Drawing(Dialogue) : null;
        int left = coat is null ? width : (width / 2) - 1;
        bool isTyped = question.Choices.Count == 0;
        string ask = question.TakesMany || !isTyped ? question.Ask : $"{question.Ask} [{question.Usual}]";
        string keys = $"Enter {(isTyped ? "take it" : "choose")}{(isTyped ? "" : "  ↑ ↓ move")}{(question.TakesMany ? "  Space mark" : "")}  Esc back  Ctrl-Q leave";
        int bottom = height;
        bottom = Put(_keys, keys, 0, width, bottom, fromBottom: true);
        (_sign.Y, _entry.Y, _entry.Width, bottom) = (bottom - 1, bottom - 1, width - 2, bottom - 1);
        bottom = Put(_message, _refusal, 0, width, bottom, fromBottom: true, Math.Max(1, bottom - 2));   // it may be all that is seen beside the question
        int wanted = Math.Min(question.Choices.Count, 3), rows = TextCells.Wrap(ask, left, MostRows).Count, notes = TextCells.Wrap(question.Note, left, MostRows).Count;
        bool hasNote = rows + notes + wanted <= bottom, hasHeading = rows + notes + wanted + 2 <= bottom;
        int top = Put(_heading, hasHeading ? $"A first standard: {Dialogue.File}" : "", 0, width, 0);
        top += hasHeading ? 1 : 0;
        int coatTop = top;
        top = Put(_ask, ask, 0, left, top);
        top = Put(_note, hasNote ? question.Note : "", 0, left, top);
        (_list.Y, _list.Width, _list.Height, _list.Visible) = (top, left, Math.Max(0, bottom - top), question.Choices.Count > 0);
        (_coat.X, _coat.Y, _coat.Width, _coat.Height) = (left + 2, coatTop, Math.Max(0, width - left - 2), Math.Max(0, bottom - coatTop - 1));
        _coat.Visible = coat is not null;
        string[] shown =
        [
            .. question.Choices.Select((choice, at) =>
                PrintableText.Escape($"{(at == _selected ? '►' : ' ')}{(!question.TakesMany ? "" : _marked.Contains(choice.Answer) ? "√" : "·")}{choice.Answer}{(choice.Words.Length == 0 ? "" : "  " + choice.Words)}")),
        ];
        if (!shown.SequenceEqual(_rows))
        {
            _rows.Clear();
            foreach (string row in shown)
            {
                _rows.Add(row);
            }
        }

        if (shown.Length > 0)
        {
            _list.SelectedItem = _selected;
            _list.EnsureSelectedItemVisible();
        }

        _coat.Show(coat);
        SetNeedsDraw();
    }

    /// <summary>A text in as many rows as it takes; the row after it, or from the bottom its first.</summary>
    private static int Put(Label label, string text, int x, int width, int row, bool fromBottom = false, int most = MostRows)
    {
        IReadOnlyList<string> lines = TextCells.Wrap(text, width, most);
        int top = fromBottom ? row - lines.Count : row;
        (label.X, label.Y, label.Width, label.Height, label.Visible) = (x, top, width, lines.Count, lines.Count > 0);
        label.Text = string.Join('\n', lines);
        return fromBottom ? top : row + lines.Count;
    }

    /// <summary>The drawing of the coat.</summary>
    private sealed class CoatView : View
    {
        private readonly BenchColours _colours;
        private FrontDrawing? _drawing;

        internal CoatView(BenchColours colours)
        {
            _colours = colours;
            CanFocus = false;
        }

        internal void Show(FrontDrawing? drawing)
        {
            _drawing = drawing;
            SetNeedsDraw();
        }

        /// <inheritdoc/>
        protected override bool OnDrawingContent(DrawContext? context)
        {
            Canvas canvas = _drawing is null ? new Canvas(Viewport.Width, Viewport.Height) : FrontPainter.Paint(_drawing, Viewport.Width, Viewport.Height);
            for (int y = 0; y < canvas.Height; y++)
            {
                for (int x = 0; x < canvas.Width; x++)
                {
                    if (canvas[x, y].Text.Length > 0)
                    {
                        SetAttribute(_colours[canvas[x, y].Style]);
                        AddStr(x, y, canvas[x, y].Text);
                    }
                }
            }

            return true;
        }
    }
}
