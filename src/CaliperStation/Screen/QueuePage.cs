using System.Collections.ObjectModel;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>What the first page is opened with.</summary>
/// <param name="Heading">Standard and day, safe to show; empty when no standard is set.</param>
/// <param name="Hand">Who measures; empty when not known yet.</param>
/// <param name="Blouses">The queue.</param>
/// <param name="Questions">What is asked of a blouse before it is measured, each with its usual answer.</param>
/// <param name="Message">What is to be read first, safe to show; or empty.</param>
internal sealed record QueueModel(
    string Heading, string Hand, IReadOnlyList<QueuedBlouse> Blouses, Func<QueuedBlouse, IReadOnlyList<(Question Question, string Usual)>> Questions, string Message)
{
    /// <summary>False where nothing is set up: then the demonstration is all there is.</summary>
    public bool HasStandard { get; init; } = true;

    /// <summary>The demonstration's blouse that was left open, or null.</summary>
    public string? OpenDemonstration { get; init; }

    /// <summary>What is asked before the demonstration.</summary>
    public IReadOnlyList<(Question Question, string Usual)> DemonstrationQuestions { get; init; } = [];
}

/// <summary>What was chosen on the first page.</summary>
internal abstract record QueueChoice
{
    /// <summary>The bench is left.</summary>
    internal sealed record Leave : QueueChoice;

    /// <summary>The demonstration, with a pretended caliper.</summary>
    /// <param name="Answers">What its blouse carries, by question.</param>
    /// <param name="Tag">The blouse that was left open; null for a new one.</param>
    internal sealed record Demonstration(IReadOnlyDictionary<string, string> Answers, string? Tag) : QueueChoice;

    /// <summary>A blouse is worked.</summary>
    /// <param name="Queued">Which, and what it wants.</param>
    /// <param name="Hand">Who measures.</param>
    /// <param name="Answers">What it carries, by question.</param>
    internal sealed record Blouse(QueuedBlouse Queued, string Hand, IReadOnlyDictionary<string, string> Answers) : QueueChoice;
}

/// <summary>The first page: who measures, the day's blouses with what each wants, the next tag by scan or typing. Built of the kit's own views.</summary>
/// <remarks>A press that chooses wants a quiet before it, as one that signs does: the key that left the blouse before may still be down.</remarks>
internal sealed class QueuePage : Runnable
{
    private const string DemonstrationRow = "the demonstration: an invented company, a pretended caliper";

    private readonly QueueModel _model;
    private readonly Switches _switches;
    private readonly TimeProvider _time;
    private readonly Action _end;
    private readonly Label _heading = new() { Width = Dim.Fill() };
    private readonly Label _who = new() { Y = 1, Width = Dim.Fill() };
    private readonly ListView _list = new() { Y = 3, Width = Dim.Fill(), Height = Dim.Fill(5), CanFocus = false };
    private readonly Label _message = new() { Y = Pos.AnchorEnd(4), Width = Dim.Fill(), Height = 1 };
    private readonly Label _ask = new() { Y = Pos.AnchorEnd(3), Width = Dim.Fill() };
    private readonly TextField _entry = new() { X = 2, Y = Pos.AnchorEnd(2), Width = Dim.Fill() };
    private readonly Label _keys = new() { Y = Pos.AnchorEnd(1), Width = Dim.Fill() };
    private readonly ObservableCollection<string> _rows = [];
    private readonly Dictionary<string, string> _answers = [];
    private readonly Queue<(Question Question, string Usual)> _questions = new();
    private PressGate _gate;
    private int _selected;
    private string _hand;
    private QueuedBlouse? _chosen;
    private int _answer;
    private bool _asksHand;

    /// <summary>The page.</summary>
    /// <param name="model">What it shows.</param>
    /// <param name="ground">How it looks.</param>
    /// <param name="switches">What foot switches type.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="end">Ends the screen once something is chosen.</param>
    internal QueuePage(QueueModel model, Terminal.Gui.Drawing.Attribute ground, Switches switches, TimeProvider time, Action end)
    {
        (_model, _switches, _time, _end, _hand) = (model, switches, time, end, model.Hand);
        Width = Dim.Fill();
        Height = Dim.Fill();
        SetScheme(new Scheme(ground));
        _list.SetSource(_rows);
        Add(_heading, _who, _list, _message, _ask, new Label { Y = Pos.AnchorEnd(2), Text = ">" }, _entry, _keys);
        _entry.KeyDown += OnEntryKey;
        _gate = PressGate.Hear(Now);
        _message.Text = model.Message;
        _asksHand = model.HasStandard && _hand.Length == 0;
        Refresh();
        _entry.SetFocus();
    }

    /// <summary>Shows the page until something is chosen; null without a terminal. A signal is told by <paramref name="stopped"/>.</summary>
    /// <param name="model">What it shows.</param>
    /// <param name="switches">What foot switches type.</param>
    /// <param name="stopped">True when a signal ended it.</param>
    internal static QueueChoice? Ask(QueueModel model, Switches switches, out bool stopped)
    {
        stopped = false;
        QueuePage? page = null;
        using BenchScreen? screen = BenchScreen.TryOpen((ground, end) => page = new QueuePage(model, ground, switches, TimeProvider.System, end));
        if (screen is null)
        {
            return null;
        }

        screen.Run(_ => { });
        stopped = screen.EndedBy == ScreenEnd.Signal;
        return page!.Choice;
    }

    /// <summary>What was chosen; leaving, until something is.</summary>
    internal QueueChoice Choice { get; private set; } = new QueueChoice.Leave();

    private TimeSpan Now => _time.GetElapsedTime(0);

    private bool AsksAnswer => _questions.Count > 0;

    private void OnEntryKey(object? sender, Key key)
    {
        if (key == Key.Q.WithCtrl || key == Key.C.WithCtrl || key == Key.F12)
        {
            Choice = new QueueChoice.Leave();
            key.Handled = true;
            _end();
            return;
        }

        bool isEmpty = _entry.Text.Length == 0;
        if (key == Key.Enter || key == Key.F2 || (key == Key.Space && isEmpty) || (_switches.Press.Has(key) && (isEmpty || !IsText(key))))
        {
            key.Handled = true;
            bool isCalm = _gate.IsCalm(Now);
            _gate = PressGate.Hear(Now);
            if (!isEmpty && key == Key.Enter)
            {
                string typed = _entry.Text.Trim();
                _entry.Text = "";
                Typed(typed);
            }
            else if (isCalm)
            {
                Pressed();
            }
        }
        else if (key == Key.F8 || key == Key.CursorDown || (_switches.NotSo.Has(key) && (isEmpty || !IsText(key))))
        {
            key.Handled = true;
            Next(1);
        }
        else if (key == Key.CursorUp)
        {
            key.Handled = true;
            Next(-1);
        }
        else if (key == Key.F4 && _model.HasStandard && !AsksAnswer)
        {
            key.Handled = true;
            _asksHand = true;
        }
        else if (key == Key.Esc)
        {
            key.Handled = true;
            _entry.Text = "";
            _questions.Clear();
            (_chosen, _asksHand) = (null, _hand.Length == 0 && _model.HasStandard);
        }

        Refresh();
    }

    private static bool IsText(Key key) => KeyMap.TextOf(key).Length > 0;

    /// <summary>The obvious next thing: the usual answer, or the blouse that is marked.</summary>
    private void Pressed()
    {
        if (_asksHand)
        {
            _message.Text = "Type the initials of who measures, and Enter.";
        }
        else if (AsksAnswer)
        {
            Answered(_questions.Peek().Question.Answers[_answer]);
        }
        else if (_selected < _model.Blouses.Count)
        {
            Chosen(_model.Blouses[_selected]);
        }
        else
        {
            _chosen = null;
            Ask(_model.OpenDemonstration is null ? _model.DemonstrationQuestions : []);
        }
    }

    private void Typed(string text)
    {
        if (_asksHand)
        {
            string initials = text.ToUpperInvariant();
            if (Initials.Validate(initials) is { } fault)
            {
                _message.Text = PrintableText.Escape($"{text}: {fault}.");
                return;
            }

            (_hand, _asksHand, _message.Text) = (initials, false, "");
            if (_chosen is { } waiting)
            {
                Chosen(waiting);
            }
        }
        else if (AsksAnswer)
        {
            Question question = _questions.Peek().Question;
            if (question.Answers.FirstOrDefault(answer => answer.Equals(text, StringComparison.OrdinalIgnoreCase)) is { } answer)
            {
                Answered(answer);
            }
            else
            {
                _message.Text = PrintableText.Escape($"{text} is no answer; say one of: {string.Join(", ", question.Answers)}.");
            }
        }
        else if (!_model.HasStandard)
        {
            _message.Text = "No standard is set, so no blouse can be measured: caliper-station --standard FILE once. Enter tries the demonstration.";
        }
        else if (BlouseTag.Validate(text) is { } fault)
        {
            _message.Text = PrintableText.Escape($"{text}: {fault}.");
        }
        else
        {
            Chosen(_model.Blouses.FirstOrDefault(blouse => BlouseTag.Comparer.Equals(blouse.Tag, text)) ?? new QueuedBlouse(text, BlouseWants.Measure, null, "no record"));
        }
    }

    private void Next(int by)
    {
        if (AsksAnswer)
        {
            int count = _questions.Peek().Question.Answers.Count;
            _answer = (_answer + by + count) % count;
        }
        else
        {
            _selected = (_selected + by + _model.Blouses.Count + 1) % (_model.Blouses.Count + 1);
        }
    }

    private void Chosen(QueuedBlouse blouse)
    {
        _chosen = blouse;
        if (_hand.Length == 0)
        {
            _asksHand = true;
            return;
        }

        Ask(blouse.Wants is BlouseWants.Measure or BlouseWants.SetRight ? _model.Questions(blouse) : []);
    }

    /// <summary>Asks one after the other; with none it is chosen.</summary>
    private void Ask(IReadOnlyList<(Question, string)> questions)
    {
        foreach ((Question, string) question in questions)
        {
            _questions.Enqueue(question);
        }

        _answer = AsksAnswer ? UsualOf(_questions.Peek()) : 0;
        if (!AsksAnswer)
        {
            End();
        }
    }

    private void Answered(string answer)
    {
        _answers[_questions.Dequeue().Question.Id] = answer;
        _message.Text = "";
        if (AsksAnswer)
        {
            _answer = UsualOf(_questions.Peek());
        }
        else
        {
            End();
        }
    }

    private static int UsualOf((Question Question, string Usual) asked) => Math.Max(0, asked.Question.Answers.ToList().IndexOf(asked.Usual));

    private void End()
    {
        Choice = _chosen is { } blouse ? new QueueChoice.Blouse(blouse, _hand, _answers) : new QueueChoice.Demonstration(_answers, _model.OpenDemonstration);
        _end();
    }

    private void Refresh()
    {
        _heading.Text = _model.HasStandard ? _model.Heading : "No standard is set yet: caliper-station --standard FILE once, and it is kept.";
        _who.Text = !_model.HasStandard ? "None written yet? caliper-station standard new asks for what a first one needs." : _hand.Length == 0 ? "Who measures?" : $"{_hand} measures. {Count(BlouseWants.Nothing)} of {_model.Blouses.Count} ready.";
        string[] rows =
        [
            .. _model.Blouses.Select((blouse, at) => $"{(at == _selected ? '►' : ' ')} {Mark(blouse.Wants)} {PrintableText.Escape(blouse.Tag),-14} {Words(blouse)}"),
            $"{(_selected == _model.Blouses.Count ? '►' : ' ')}   {(_model.OpenDemonstration is { } open ? $"the demonstration: {PrintableText.Escape(open)} was left open, and goes on where it was" : DemonstrationRow)}",
        ];
        if (!rows.SequenceEqual(_rows))
        {
            _rows.Clear();
            foreach (string row in rows)
            {
                _rows.Add(row);
            }
        }

        _list.SelectedItem = _selected;
        _list.EnsureSelectedItemVisible();
        _ask.Text = PrintableText.Escape(
            _asksHand ? "Who measures? Initials, then Enter"
            : AsksAnswer ? $"{_chosen?.Tag ?? "demonstration"}: {_questions.Peek().Question.Ask}  {string.Join("  ", _questions.Peek().Question.Answers.Select((answer, at) => at == _answer ? $"[{answer}]" : answer))}"
            : _model.HasStandard ? "Scan or type a tag, or press for the marked blouse" : "Press for the demonstration");
        _keys.Text = _asksHand ? "Enter that is me  Ctrl-Q leave"
            : AsksAnswer ? "Enter this answer  F8 the next one  Esc back  Ctrl-Q leave"
            : _model.HasStandard ? "Enter begin  F8 or ↓ the next one  F4 who measures  Ctrl-Q leave" : "Enter begin  Ctrl-Q leave";
        SetNeedsDraw();
    }

    private int Count(BlouseWants wants) => _model.Blouses.Count(blouse => blouse.Wants == wants);

    private static char Mark(BlouseWants wants) => wants switch
    {
        BlouseWants.GoOn => Marks.Of(OrderState.Stale),
        BlouseWants.SetRight => Marks.Of(OrderState.Outside),
        BlouseWants.Measure => Marks.Of(OrderState.Ahead),
        BlouseWants.Countersign => Marks.Of(OrderState.Borderline),
        BlouseWants.Nothing => Marks.Of(OrderState.Within),
    };

    private static string Words(QueuedBlouse blouse) => PrintableText.Escape(blouse.Wants switch
    {
        BlouseWants.GoOn => $"left open: {(blouse.Waits.Length > 0 ? blouse.Waits : "goes on where it was")}",
        BlouseWants.SetRight => $"set right and read again ({blouse.Why})",
        BlouseWants.Measure => blouse.Record is null ? "to be measured" : $"to be measured ({blouse.Why})",
        BlouseWants.Countersign => "countersign, by another hand",
        BlouseWants.Nothing => "ready; choose it to re-check after a touch-up",
    });
}
