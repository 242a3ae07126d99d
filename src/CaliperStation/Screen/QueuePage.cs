using System.Collections.ObjectModel;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>What the first page is opened with.</summary>
/// <param name="Heading">Standard and day; empty when no standard is set.</param>
/// <param name="Hand">Who measures; empty when not known yet.</param>
/// <param name="Blouses">The queue.</param>
/// <param name="Questions">What is asked of a blouse before it is measured, each with its usual answer.</param>
/// <param name="Message">What is to be read first; or empty.</param>
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

    /// <summary>Something that can be done on the page now; its keys, the row of keys and the page of help are made of this.</summary>
    /// <param name="Keys">The keys that do it, the one that is shown first.</param>
    /// <param name="Does">In few words, for the row of keys; empty to leave it out there.</param>
    /// <param name="Means">In a line, for the page of help.</param>
    /// <param name="Do">Does it.</param>
    private sealed record Deed(IReadOnlyList<Key> Keys, string Does, string Means, Action Do);

    private readonly QueueModel _model;
    private readonly Switches _switches;
    private readonly Action _end;
    private readonly Label _heading = new() { Width = Dim.Fill() };
    private readonly Label _who = new() { Y = 1, Width = Dim.Fill() };
    private readonly ListView _list = new() { Y = 2, Width = Dim.Fill(), CanFocus = false };
    private readonly Label _message = new() { Width = Dim.Fill() };
    private readonly Label _ask = new() { Width = Dim.Fill() };
    private readonly TextField _entry = new() { X = 2, Y = Pos.AnchorEnd(2), Width = Dim.Fill() };
    private readonly KeyRow _keys;
    private readonly OwnPress _clicks, _presses;
    private readonly HelpPage _help;
    private readonly ObservableCollection<string> _rows = [];
    private readonly Dictionary<string, string> _answers = [];
    private readonly Queue<(Question Question, string Usual)> _questions = new();
    private int _selected;
    private string _said;
    private string _hand;
    private QueuedBlouse? _chosen;
    private int _answer;
    private bool _asksHand;

    /// <summary>The page.</summary>
    /// <param name="model">What it shows.</param>
    /// <param name="colours">How it looks.</param>
    /// <param name="switches">What foot switches type.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="end">Ends the screen once something is chosen.</param>
    internal QueuePage(QueueModel model, BenchColours colours, Switches switches, TimeProvider time, Action end)
    {
        (_model, _switches, _end, _hand, _said) = (model, switches, end, model.Hand, model.Message);
        Width = Dim.Fill();
        Height = Dim.Fill();
        SetScheme(colours.Scheme);
        _list.SetSource(_rows);
        (_clicks, _presses) = (new OwnPress(time), new OwnPress(time));
        _keys = new KeyRow(colours, _clicks, OnKeyClicked);
        _help = new HelpPage(colours, switches, _presses.Take, _clicks, () => _entry.SetFocus());
        Add(_heading, _who, _list, _message, _ask, new Label { Y = Pos.AnchorEnd(2), Text = ">" }, _entry, _keys, _help);
        _entry.KeyDown += OnEntryKey;
        _list.Activating += OnListActivating;
        _asksHand = model.HasStandard && _hand.Length == 0;
        ViewportChanged += (_, _) => Refresh();   // texts are wrapped by its width
        Refresh();
        _entry.SetFocus();
    }

    /// <summary>Shows the page until something is chosen; null without a terminal. A signal is told by <paramref name="stopped"/>.</summary>
    /// <param name="model">What it shows.</param>
    /// <param name="settings">How the screen is set.</param>
    /// <param name="wired">The caliper whose port a foot switch is wired to; its port is free again when this returns. Null for none.</param>
    /// <param name="stopped">True when a signal ended it.</param>
    internal static QueueChoice? Ask(QueueModel model, ScreenSettings settings, ICaliper? wired, out bool stopped)
    {
        stopped = false;
        QueuePage? page = null;
        using BenchScreen? screen = BenchScreen.TryOpen((colours, end) => page = new QueuePage(model, colours, settings.Switches, TimeProvider.System, end), settings);
        if (screen is null)
        {
            return null;
        }

        using CancellationTokenSource over = new();
        Task listening = wired?.RunAsync(seen => screen.Do(() => page!.Wired(seen)), over.Token) ?? Task.CompletedTask;
        try
        {
            screen.Run(_ => { });
        }
        finally
        {
            over.Cancel();
            ((IAsyncResult)listening).AsyncWaitHandle.WaitOne();
        }

        stopped = screen.EndedBy == ScreenEnd.Signal;
        return page!.Choice;
    }

    /// <summary>What was chosen; leaving, until something is.</summary>
    internal QueueChoice Choice { get; private set; } = new QueueChoice.Leave();

    private bool AsksAnswer => _questions.Count > 0;

    /// <summary>A click on a line of the list takes it.</summary>
    private void OnListActivating(object? sender, CommandEventArgs arguments)
    {
        arguments.Handled = true;
        if (!_asksHand && arguments.Context?.Binding is MouseBinding { MouseEvent.Position: { } at } && at.Y + _list.Viewport.Y is var row && row < _rows.Count && _clicks.Take())
        {
            if (AsksAnswer)
            {
                _answer = row;
            }
            else
            {
                _selected = row;
            }

            Pressed();
            Refresh();
        }
    }

    private void OnKeyClicked(string key)
    {
        Deeds().First(deed => BenchKeys.NameOf(deed.Keys[0]) == key).Do();
        Refresh();
    }

    /// <summary>A foot switch that is wired to the caliper's port.</summary>
    internal void Wired(CaliperEvent seen)
    {
        if (seen is CaliperEvent.NotSo)
        {
            Next(1);
        }
        else if (seen is not CaliperEvent.Press || !_presses.Take())
        {
            return;
        }
        else if (_help.Visible)
        {
            _help.Leave();   // as any press by mistake
        }
        else
        {
            Pressed();
        }

        Refresh();
    }

    /// <summary>All that can be done now, most needed first.</summary>
    private IEnumerable<Deed> Deeds()
    {
        Key[] press = [Key.Enter, Key.F2, Key.Space], next = [Key.F8, Key.CursorDown], before = [Key.CursorUp];
        Deed leave = new([Key.Q.WithCtrl, Key.C.WithCtrl, Key.F12], "leave", "leave; what is left open goes on later", Leave);
        Deed help = new([Key.F1], "help", "this page", Help);
        Deed back = new([Key.Esc], "back", "back to the list; what was typed is dropped", Back);
        return _asksHand
            ? [new([Key.Enter], "that is me", "the initials that were typed measure", Pressed), .. _hand.Length > 0 ? (Deed[])[back] : [], leave, help]
            : AsksAnswer
            ?
            [
                new(press, "this answer", "the marked answer", Pressed),
                new(next, "the next", "the next answer", () => Next(1)),
                new(before, "", "the one before", () => Next(-1)),
                back, leave, help,
            ]
            :
            [
                new(press, "begin", _selected < _model.Blouses.Count ? "the marked blouse" : "the demonstration", Pressed),
                .. _model.Blouses.Count == 0 ? (Deed[])[] :
                [
                    new(next, "the next", "the next blouse of the list", () => Next(1)),
                    new(before, "", "the one before", () => Next(-1)),
                ],
                .. _model.HasStandard ? (Deed[])[new([Key.F4], "who measures", "another hand measures", () => _asksHand = true)] : [],
                leave, help,
            ];
    }

    private static List<KeyHint> HintsOf(IEnumerable<Deed> deeds) => [.. deeds.Where(deed => deed.Does.Length > 0).Select(deed => new KeyHint(BenchKeys.NameOf(deed.Keys[0]), deed.Does))];

    private void Help()
    {
        string typed = _asksHand ? "initials" : AsksAnswer ? "an answer" : "a tag";
        string means = _asksHand ? "typed, then Enter: who measures from here on" : AsksAnswer ? "typed whole, then Enter" : "scanned, or typed and Enter: that blouse, of the list or not";
        IEnumerable<HelpLine> deeds = Deeds().Where(deed => deed.Keys[0] != Key.F1).Select(deed => new HelpLine(string.Join(", ", deed.Keys.Select(BenchKeys.NameOf)), deed.Means, () =>
        {
            deed.Do();
            Refresh();
        }));
        HelpLine[] marks =
        [
            .. (AsksAnswer ? [] : _model.Blouses).Select(blouse => blouse.Wants).Distinct().Order().Select(wants => new HelpLine(Mark(wants).ToString(), Means(wants))),
            new HelpLine("►", "the marked one"),
        ];
        _help.Open(_ask.Text.Split('\n')[0], [.. BenchHelp.Headed(BenchHelp.Deeds, [.. deeds, .. _model.HasStandard || _asksHand || AsksAnswer ? (HelpLine[])[new HelpLine(typed, means)] : []]), .. BenchHelp.Headed("What is shown", marks)]);
    }

    /// <inheritdoc/>
    protected override bool OnKeyDown(Key key)
    {
        if (BenchKeys.ActionOf(key) != BenchAction.Stop)
        {
            return base.OnKeyDown(key);
        }

        Leave();   // also from the page of help
        return true;
    }

    private void Leave()
    {
        Choice = new QueueChoice.Leave();
        _end();
    }

    private void Back()
    {
        _entry.Text = "";
        _questions.Clear();
        (_chosen, _asksHand) = (null, _hand.Length == 0 && _model.HasStandard);
    }

    private void OnEntryKey(object? sender, Key key)
    {
        Deed? deed = Deeds().FirstOrDefault(each => each.Keys.Contains(key));
        bool isEmpty = _entry.Text.Length == 0;
        bool isOf(SwitchKeys known) => known.Has(key) && (isEmpty || !IsText(key));
        key.Handled = true;
        if (isEmpty && BenchKeys.TextOf(key) == "?")
        {
            Help();
        }
        else if (key == Key.Enter || key == Key.F2 || (key == Key.Space && isEmpty) || isOf(_switches.Press))
        {
            bool isCalm = _presses.Take();
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
        else if (isOf(_switches.NotSo))
        {
            Next(1);
        }
        else if (deed is not null && (key != Key.Space || isEmpty))
        {
            deed.Do();
        }
        else if (key == Key.Esc)
        {
            Back();
        }
        else
        {
            key.Handled = false;
        }

        Refresh();
    }

    private static bool IsText(Key key) => BenchKeys.TextOf(key).Length > 0;

    /// <summary>The obvious next thing: the usual answer, or the blouse that is marked.</summary>
    private void Pressed()
    {
        if (_asksHand)
        {
            _said = "Type the initials of who measures, and Enter.";
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
            string initials = Initials.Of(text);
            if (Initials.Validate(initials) is { } fault)
            {
                _said = $"{text}: {fault}.";
                return;
            }

            (_hand, _asksHand, _said) = (initials, false, "");
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
                _said = $"{text} is no answer; say one of: {string.Join(", ", question.Answers)}.";
            }
        }
        else if (!_model.HasStandard)
        {
            _said = "No standard is set, so no blouse can be measured: caliper-station --standard FILE once. Enter tries the demonstration.";
        }
        else if (BlouseTag.Validate(text) is { } fault)
        {
            _said = $"{text}: {fault}.";
        }
        else
        {
            QueuedBlouse blouse = _model.Blouses.FirstOrDefault(each => BlouseTag.Comparer.Equals(each.Tag, text)) ?? new QueuedBlouse(text, BlouseWants.Measure, null, "no record");
            int at = _model.Blouses.ToList().IndexOf(blouse);
            if (blouse.Wants == BlouseWants.Nothing && at != _selected)
            {
                (_selected, _said) = (at, PrintableText.Escape($"{blouse.Tag} is ready: Enter begins a re-check of it."));
                return;
            }

            Chosen(blouse);
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
        (_chosen, _said) = (blouse, "");
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
        _said = "";
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

    /// <summary>All of it as things stand. While something is asked the list holds its answers, so that each can be reached, however many there are.</summary>
    private void Refresh()
    {
        int width = Math.Max(1, Viewport.Width);
        _heading.Text = _model.HasStandard ? PrintableText.Escape(_model.Heading) : "No standard is set yet: caliper-station --standard FILE once, and it is kept.";
        _who.Text = !_model.HasStandard ? "None written yet? caliper-station standard new asks for what a first one needs." : _hand.Length == 0 ? "Who measures?" : $"{PrintableText.Escape(_hand)} measures. {Count(BlouseWants.Nothing)} of {_model.Blouses.Count} ready.";
        int at = AsksAnswer ? _answer : _selected;
        (char Mark, string Words)[] lines = AsksAnswer
            ? [.. _questions.Peek().Question.Answers.Select(answer => (' ', answer))]
            : [.. _model.Blouses.Select(blouse => (Mark(blouse.Wants), $"{blouse.Tag,-14} {Words(blouse)}")), (' ', _model.OpenDemonstration is { } open ? $"the demonstration: {open} was left open, and goes on where it was" : DemonstrationRow)];
        string[] rows = [.. lines.Select((line, each) => PrintableText.Escape($"{(each == at ? '►' : ' ')} {line.Mark} {line.Words}"))];
        if (!rows.SequenceEqual(_rows))
        {
            _rows.Clear();
            foreach (string row in rows)
            {
                _rows.Add(row);
            }
        }

        // A line that is cut in the list is read below it.
        string cut = _said.Length == 0 && at < rows.Length && TextCells.Columns(rows[at]) > width ? lines[at].Words : "";
        IReadOnlyList<string> message = TextCells.Wrap(_said.Length > 0 ? _said : cut, width, 3);
        IReadOnlyList<string> ask = TextCells.Wrap(
            _asksHand ? "Who measures? Initials, then Enter"
            : AsksAnswer ? $"{_chosen?.Tag ?? "demonstration"}: {_questions.Peek().Question.Ask}"
            : _model.HasStandard ? "Scan or type a tag, or press for the marked blouse" : "Press for the demonstration",
            width,
            4);
        (_message.Text, _ask.Text) = (string.Join('\n', message), string.Join('\n', ask));
        int below = 2 + ask.Count;
        (_ask.Height, _ask.Y) = (ask.Count, Pos.AnchorEnd(below));
        (_message.Height, _message.Y) = (message.Count, Pos.AnchorEnd(below + message.Count));
        _list.Height = Dim.Fill(below + message.Count);
        _list.SelectedItem = at;
        _list.EnsureSelectedItemVisible();
        _keys.Show(HintsOf(Deeds()));
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

    private static string Words(QueuedBlouse blouse) => blouse.Wants switch
    {
        BlouseWants.GoOn => $"left open: {(blouse.Waits.Length > 0 ? blouse.Waits : "goes on where it was")}",
        BlouseWants.SetRight => $"set right and read again ({blouse.Why})",
        BlouseWants.Measure => blouse.Record is null ? "to be measured" : $"to be measured ({blouse.Why})",
        BlouseWants.Countersign => "countersign, by another hand",
        BlouseWants.Nothing => "ready; choose it to re-check after a touch-up",
    };

    private static string Means(BlouseWants wants) => wants switch
    {
        BlouseWants.GoOn => "left open: it goes on where it was",
        BlouseWants.SetRight => "to be set right and read again",
        BlouseWants.Measure => "to be measured",
        BlouseWants.Countersign => "to be countersigned by another hand",
        BlouseWants.Nothing => "ready",
    };
}
